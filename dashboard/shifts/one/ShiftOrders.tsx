import { useState } from 'react';
import type { HandEntry, Shift } from '../../api/shift-shapes.ts';
import { mayAddToRecord, mayRunShift, maySignOff, mayTendRig } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import type { ShiftWhere } from '../site-names.ts';
import { EndDialog } from './EndDialog.tsx';
import { HandoverDialog } from './HandoverDialog.tsx';
import { NoteDialog } from './NoteDialog.tsx';
import { SignOffPanel } from './SignOffPanel.tsx';

export interface ShiftOrdersProps {
  readonly shift: Shift;
  readonly where: ShiftWhere;
  readonly entries: readonly HandEntry[];
  readonly onChange: () => void;
}

type Open = 'note' | 'handover' | 'end' | null;

/** The next steps of a shift: only those that this person may take now. */
export function ShiftOrders({ shift, where, entries, onChange }: ShiftOrdersProps) {
  const { words, session } = useSeat();
  const [open, setOpen] = useState<Open>(null);
  const isOpen = shift.state === 'open';
  const mayNote = mayAddToRecord(session.role) && shift.signOffs.length === 0;
  const mayRun = mayRunShift(session.role) && isOpen;
  // Where another runs already, or the rig is gone, there is nothing to start.
  const mayStartNext = mayRunShift(session.role) && shift.state === 'ended' && where.rig?.shift === null;
  const dialog = { shift, zone: where.zone, onDone: onChange, onClose: () => setOpen(null) };
  return (
    <div className="shift-orders" data-testid="shift-orders">
      {mayNote || mayRun || mayStartNext ? (
        <div className="shift-orders__row">
          {mayNote ? (
            <button type="button" className="action" data-testid="add-note" onClick={() => setOpen('note')}>
              {words.shifts.orders.note}
            </button>
          ) : null}
          {mayNote && isOpen ? (
            <button type="button" className="action" data-testid="hand-over" onClick={() => setOpen('handover')}>
              {words.shifts.orders.handover}
            </button>
          ) : null}
          {mayRun ? (
            <button type="button" className="action" data-testid="end-shift" onClick={() => setOpen('end')}>
              {words.shifts.orders.end}
            </button>
          ) : null}
          {isOpen && mayTendRig(session.role) ? (
            <a className="action action--quiet action--link" data-testid="to-rig" href={routeHref('rig', {}, [shift.rig])}>
              {words.shifts.orders.rig(where.rigName)}
            </a>
          ) : null}
          {mayStartNext ? (
            <a className="action action--link" data-testid="start-next" href={routeHref('shifts', { rig: shift.rig }, ['start'])}>
              {words.shifts.orders.next(where.rigName)}
            </a>
          ) : null}
        </div>
      ) : null}
      {shift.state === 'ended' || shift.state === 'signed-once' || shift.state === 'sealed' ? <SignOffPanel shift={shift} where={where} entries={entries} maySign={maySignOff(session.role)} onChange={onChange} /> : null}
      {open === 'note' ? <NoteDialog {...dialog} placedAtMs={null} /> : null}
      {open === 'handover' ? <HandoverDialog {...dialog} /> : null}
      {open === 'end' ? <EndDialog {...dialog} where={where} entries={entries} /> : null}
    </div>
  );
}
