import { useState } from 'react';
import type { LiveRig } from '../../domain/wire/live.ts';
import type { HandEntry } from '../api/shift-shapes.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { useReader } from '../hooks/use-reader.ts';
import { ENTRY_KEYS, type EntryChoice, type EntryKey } from './entry-choices.ts';
import { EntryPad } from './EntryPad.tsx';

export interface EntryKeysProps {
  readonly rig: LiveRig;
  readonly zone: string;
  /** Of this shift, oldest first. */
  readonly entries: readonly HandEntry[];
  readonly onDone: () => void;
}

/** First tap: what. Second tap, in the same place: how much, or which. */
export function EntryKeys({ rig, zone, entries, onDone }: EntryKeysProps) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const { isSending, failure, send } = useOrder();
  const [open, setOpen] = useState<EntryKey | null>(null);
  const [done, setDone] = useState('');
  const told = words.rig;
  const lastOf = (kind: string): HandEntry | undefined => entries.findLast((entry) => entry.kind === kind);
  const stopped = lastOf('stopped');
  const resumed = lastOf('resumed');
  const isStopped = stopped !== undefined && (resumed === undefined || Date.parse(resumed.at) < Date.parse(stopped.at));
  const tell = async (kind: string, { value, unit, text }: EntryChoice, place: string, label: string): Promise<void> => {
    const body = { kind, place, text, ...(value === null ? {} : { value, unit }) };
    if (!(await send(`/api/rigs/${encodeURIComponent(rig.id)}/entries`, body))) return;
    setDone(told.noted(label, nowMs === null ? '' : formatClock(nowMs, zone, false)));
    setOpen(null);
    onDone();
  };
  return (
    <section className="rig-page__block" aria-label={told.readings} data-testid="entries">
      <h2>{open === null ? told.readings : told.kinds[open]}</h2>
      <p className="rig-page__done" role="status" data-testid="noted">
        {done}
      </p>
      {open === null ? (
        <div className="keys">
          {ENTRY_KEYS.map((kind) => {
            const last = lastOf(kind);
            const resumes = kind === 'stopped' && isStopped;
            return (
              <button
                key={kind}
                type="button"
                className="key"
                data-testid={`entry-${kind}`}
                disabled={isSending}
                onClick={() => (resumes ? void tell('resumed', { label: '', value: null, unit: null, text: '' }, '', told.kinds['resumed'] ?? '') : setOpen(kind))}
              >
                <strong>{resumes ? told.resume : told.keys[kind]}</strong>
                <span>{resumes ? told.stoppedFor(told.reasons[stopped.text] ?? stopped.text, formatClock(Date.parse(stopped.at), zone, false)) : last ? told.lastAt(formatClock(Date.parse(last.at), zone, false)) : told.notYet}</span>
              </button>
            );
          })}
        </div>
      ) : (
        <EntryPad key={open} kind={open} rig={rig} entries={entries} isSending={isSending} onTell={(choice, place, label) => void tell(open, choice, place, label)} onClose={() => setOpen(null)} />
      )}
      <p className="alarm__failure" role="alert">
        {failure ?? ''}
      </p>
    </section>
  );
}
