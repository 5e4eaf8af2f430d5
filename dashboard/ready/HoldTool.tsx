import { useState } from 'react';
import { readinessPath } from '../api/readiness.ts';
import { formatNumber, inSystem } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { useStore } from '../hooks/use-store.ts';
import { ToolFailure } from './ToolFailure.tsx';
import type { ToolProps } from './StepTool.tsx';

/** What 100 ft of 1.5 to 2 in hose hold, about. */
const USUAL_VOLUME = { us: '2 ft3', si: '57 L' } as const;

/** The hold test of the supply side: started here, timed and computed by the server. */
export function HoldTool({ check, rig, onDone }: ToolProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const { isSending, failure, send } = useOrder();
  const [volume, setVolume] = useState<string | null>(null);
  const { hold } = check;
  const told = words.ready.hold;
  const isRunning = hold !== null && hold.ended === null;
  const psi = (value: number): string => formatNumber(inSystem(value, '[psi]', 'pressure', units).value, units === 'us' ? 1 : 2);
  const unit = inSystem(0, '[psi]', 'pressure', units).symbol;
  return (
    <div className="tool tool--hold">
      <label className="tool__field">
        {told.volume}
        <input value={volume ?? USUAL_VOLUME[units]} autoComplete="off" disabled={isRunning} onChange={(event) => setVolume(event.target.value)} />
      </label>
      <button type="button" className="action action--quiet" data-testid="hold" disabled={isSending} onClick={() => void send(readinessPath(rig.id, 'hold'), isRunning ? { start: false } : { start: true, volume: volume ?? USUAL_VOLUME[units] }).then(onDone)}>
        {isRunning ? told.stop : told.start}
      </button>
      <div className="hold" data-testid="hold-run">
        <svg className="hold__bar" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" focusable="false">
          <rect className="hold__all" width="100" height="8" />
          <rect className="hold__done" width={hold === null ? 0 : Math.min(100, (hold.seconds / hold.of) * 100)} height="8" />
        </svg>
        <p>
          {hold === null ? told.none : [told.runs(hold.seconds, hold.of), told.fell(psi(hold.from), psi(hold.to), unit), hold.leak ? told.leak(hold.leak.value.toFixed(2), hold.leak.low.toFixed(2), hold.leak.high.toFixed(2)) : ''].filter((part) => part !== '').join(', ')}
        </p>
      </div>
      <ToolFailure failure={failure} />
    </div>
  );
}
