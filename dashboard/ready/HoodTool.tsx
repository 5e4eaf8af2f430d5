import { useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { ToolFailure } from './ToolFailure.tsx';
import type { ToolProps } from './StepTool.tsx';

/** Who is under the hood, by name, in and out. */
export function HoodTool({ rig, onDone }: ToolProps) {
  const { words } = useSeat();
  const { isSending, failure, send } = useOrder();
  const [name, setName] = useState('');
  const told = words.ready.hood;
  const go = (way: 'hood-in' | 'hood-out', who: string) => send(`/api/rigs/${encodeURIComponent(rig.id)}/${way}`, { name: who }).then((isDone) => {
    if (isDone) setName('');
    return onDone();
  });
  return (
    <form
      className="tool tool--hood"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() !== '') void go('hood-in', name.trim());
      }}
    >
      <label className="tool__field">
        {told.name}
        <input value={name} maxLength={64} autoComplete="off" data-testid="hood-name" onChange={(event) => setName(event.target.value)} />
      </label>
      <button type="submit" className="action action--quiet" data-testid="hood-in" disabled={isSending}>
        {told.into}
      </button>
      {rig.underHood.map((one) => (
        <button key={one.name} type="button" className="action action--quiet" data-testid="hood-out" disabled={isSending} onClick={() => void go('hood-out', one.name)}>
          {told.out(one.name)}
        </button>
      ))}
      <ToolFailure failure={failure} />
    </form>
  );
}
