import { useState } from 'react';
import { shiftPath } from '../../api/shifts.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Dialog } from '../../ui/Dialog.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';

export interface HandoverDialogProps {
  readonly shift: Shift;
  readonly zone: string;
  readonly onDone: () => void;
  readonly onClose: () => void;
}

/** To whom the rig is handed, and what they have to know. */
export function HandoverDialog({ shift, onDone, onClose }: HandoverDialogProps) {
  const { words } = useSeat();
  const [to, setTo] = useState('');
  const [text, setText] = useState('');
  const crew = [...new Set(shift.crew.map((one) => one.name))];
  return (
    <Dialog title={words.shifts.handover.title} testId="handover-dialog" onClose={onClose}>
      <OrderForm
        path={shiftPath(shift.id, 'handover')}
        testId="handover-do"
        submit={words.shifts.handover.do}
        onDone={() => {
          onDone();
          onClose();
        }}
        onCancel={onClose}
        compose={() => (to.trim() === '' || text.trim() === '' ? { missing: words.shifts.handover.missing } : { body: { to: to.trim(), text: text.trim() } })}
      >
        <label className="field">
          {words.shifts.handover.to}
          <input name="to" list="handover-crew" autoComplete="off" maxLength={64} value={to} onChange={(event) => setTo(event.target.value)} />
          <datalist id="handover-crew">
            {crew.map((name) => (
              <option key={name} value={name} />
            ))}
          </datalist>
        </label>
        <label className="field">
          {words.shifts.handover.text}
          <textarea name="text" rows={4} maxLength={2000} value={text} onChange={(event) => setText(event.target.value)} />
        </label>
        <p className="soft">{words.shifts.handover.hint}</p>
      </OrderForm>
    </Dialog>
  );
}
