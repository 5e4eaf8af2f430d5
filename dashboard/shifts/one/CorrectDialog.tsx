import { useState } from 'react';
import { shiftPath } from '../../api/shifts.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Dialog } from '../../ui/Dialog.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';

export interface CorrectDialogProps {
  readonly shift: string;
  /** Id of the note or entry, or name of the field. */
  readonly of: string;
  readonly what: string;
  readonly onDone: () => void;
  readonly onClose: () => void;
}

/** A correction is written beside what was wrong; nothing that was recorded goes away. */
export function CorrectDialog({ shift, of, what, onDone, onClose }: CorrectDialogProps) {
  const { words } = useSeat();
  const [text, setText] = useState('');
  return (
    <Dialog title={words.shifts.log.correctTitle} what={what} testId="correct-dialog" onClose={onClose}>
      <OrderForm
        path={shiftPath(shift, 'corrections')}
        testId="correct-do"
        submit={words.shifts.log.correctDo}
        onDone={() => {
          onDone();
          onClose();
        }}
        onCancel={onClose}
        compose={() => (text.trim() === '' ? { missing: words.shifts.needWords } : { body: { of, text: text.trim() } })}
      >
        <p>{words.shifts.log.correctAbout}</p>
        <label className="field">
          {words.shifts.log.correctText}
          <textarea name="text" rows={3} maxLength={1000} value={text} onChange={(event) => setText(event.target.value)} />
        </label>
      </OrderForm>
    </Dialog>
  );
}
