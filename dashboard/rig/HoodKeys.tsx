import { useState } from 'react';
import type { LiveRig } from '../../domain/wire/live.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';

export interface HoodKeysProps {
  readonly rig: LiveRig;
  readonly zone: string;
  /** Names to choose from, of the shift's crew. */
  readonly crew: readonly string[];
}

/** One tap logs somebody in or out: exposure to carbon monoxide belongs to a person, not to a rig. */
export function HoodKeys({ rig, zone, crew }: HoodKeysProps) {
  const { words } = useSeat();
  const { isSending, failure, send } = useOrder();
  const [other, setOther] = useState('');
  const told = words.rig;
  const go = (way: 'hood-in' | 'hood-out', name: string): Promise<boolean> => send(`/api/rigs/${encodeURIComponent(rig.id)}/${way}`, { name });
  const free = crew.filter((name) => !rig.underHood.some((one) => one.name === name));
  return (
    <section className="rig-page__block" aria-label={told.hood} data-testid="hood">
      <h2>{told.hood}</h2>
      <div className="keys">
        {rig.underHood.map((one) => (
          <button key={one.name} type="button" className="key key--on" data-testid="hood-out" disabled={isSending} onClick={() => void go('hood-out', one.name)}>
            <strong>{told.out(one.name)}</strong>
            <span>{words.air.since(told.under, formatClock(one.sinceMs, zone, false))}</span>
          </button>
        ))}
        {free.map((name) => (
          <button key={name} type="button" className="key" data-testid="hood-in" disabled={isSending} onClick={() => void go('hood-in', name)}>
            <strong>{told.in(name)}</strong>
          </button>
        ))}
        <form
          className="keys__other keys__other--beside"
          onSubmit={(event) => {
            event.preventDefault();
            if (other.trim() !== '') void go('hood-in', other.trim()).then((isDone) => isDone && setOther(''));
          }}
        >
          <label className="field">
            {told.otherName}
            <input name="hood-name" autoComplete="off" maxLength={64} value={other} onChange={(event) => setOther(event.target.value)} />
          </label>
          <button type="submit" className="action action--quiet" disabled={isSending || other.trim() === ''}>
            {told.logIn}
          </button>
        </form>
      </div>
      <p className="alarm__failure" role="alert">
        {failure ?? ''}
      </p>
    </section>
  );
}
