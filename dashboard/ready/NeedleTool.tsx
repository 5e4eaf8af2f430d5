import { useState } from 'react';
import { parseQuantity } from '../../domain/quantity/parse-quantity.ts';
import { convert, needUnit } from '../../domain/quantity/unit.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { useStore } from '../hooks/use-store.ts';
import { ToolFailure } from './ToolFailure.tsx';
import type { ToolProps } from './StepTool.tsx';

/** The needle behind the nozzle, typed with or without its unit. */
export function NeedleTool({ rig, onDone }: ToolProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const { isSending, failure, send } = useOrder();
  const [text, setText] = useState('');
  const [isWrong, setWrong] = useState(false);
  const enter = (): void => {
    const psi = readPsi(text, units === 'us' ? 'psi' : 'bar');
    setWrong(psi === null);
    if (psi !== null) {
      void send(`/api/rigs/${encodeURIComponent(rig.id)}/entries`, { kind: 'needle', value: psi }).then((isDone) => {
        if (isDone) setText('');
        return onDone();
      });
    }
  };
  return (
    <form
      className="tool"
      onSubmit={(event) => {
        event.preventDefault();
        enter();
      }}
    >
      <label className="tool__field">
        {words.ready.needle}
        <input value={text} inputMode="decimal" autoComplete="off" data-testid="needle" aria-invalid={isWrong || undefined} onChange={(event) => setText(event.target.value)} />
      </label>
      <button type="submit" className="action action--quiet" data-testid="needle-enter" disabled={isSending}>
        {words.ready.needleSend}
      </button>
      <ToolFailure failure={isWrong ? words.ready.needleWrong : failure} />
    </form>
  );
}

/** psi gauge to a tenth; null where that is no pressure. */
function readPsi(text: string, unit: string): number | null {
  try {
    const read = parseQuantity(/[a-z]/i.test(text) ? text : `${text}${unit}`, 'pressure');
    const psi = convert(read.value, read.unit, needUnit('[psi]', 'pressure'));
    return !read.absolute && psi >= 0 && psi <= 300 ? Math.round(psi * 10) / 10 : null;
  } catch {
    return null;
  }
}
