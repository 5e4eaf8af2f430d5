import type { LiveRig } from '../../domain/wire/live.ts';
import type { WireReadiness } from '../../domain/wire/readiness.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { HoldTool } from './HoldTool.tsx';
import { HoodTool } from './HoodTool.tsx';
import { NeedleTool } from './NeedleTool.tsx';
import { ToolFailure } from './ToolFailure.tsx';

export interface ToolProps {
  readonly check: WireReadiness;
  readonly rig: LiveRig;
  readonly onDone: () => Promise<void>;
}

/** What is done from within a step beside signing it: hold test, bump test, blotter, hood log, needle. */
export function StepTool({ step, ...tool }: ToolProps & { step: string }) {
  if (step === 'panel') return <BumpTool {...tool} />;
  if (step === 'pressure') return <HoldTool {...tool} />;
  if (step === 'air') return <BlotterTool {...tool} />;
  if (step === 'dress' || step === 'end-hood') return <HoodTool {...tool} />;
  if (step === 'metering') return <NeedleTool {...tool} />;
  return null;
}

function BumpTool({ rig, onDone }: ToolProps) {
  const { words } = useSeat();
  const { isSending, failure, send } = useOrder();
  const path = `/api/rigs/${encodeURIComponent(rig.id)}`;
  const isOn = rig.bumpTestUntilMs !== null;
  return (
    <div className="tool">
      <div className="task__keys">
        <button type="button" className="action action--quiet" data-testid="bump" disabled={isSending} onClick={() => void send(`${path}/bump-test`, isOn ? { minutes: 0 } : {}).then(onDone)}>
          {isOn ? words.ready.bump.end : words.ready.bump.start}
        </button>
        <button type="button" className="action action--quiet" data-testid="bump-done" disabled={isSending} onClick={() => void send(`${path}/entries`, { kind: 'bump-done' }).then(onDone)}>
          {words.ready.bump.done}
        </button>
      </div>
      <ToolFailure failure={failure} />
    </div>
  );
}

function BlotterTool({ rig, onDone }: ToolProps) {
  const { words } = useSeat();
  const { isSending, failure, send } = useOrder();
  return (
    <div className="tool">
      <button type="button" className="action action--quiet" data-testid="blotter" disabled={isSending} onClick={() => void send(`/api/rigs/${encodeURIComponent(rig.id)}/entries`, { kind: 'blotter' }).then(onDone)}>
        {words.ready.blotter}
      </button>
      <ToolFailure failure={failure} />
    </div>
  );
}
