import { shiftPath } from '../../api/shifts.ts';
import type { HandEntry, Shift } from '../../api/shift-shapes.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Dialog } from '../../ui/Dialog.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';
import type { ShiftWhere } from '../site-names.ts';
import { MissingList } from './MissingList.tsx';
import { whatsMissing } from './whats-missing.ts';

export interface EndDialogProps {
  readonly shift: Shift;
  readonly where: ShiftWhere;
  readonly entries: readonly HandEntry[];
  readonly onDone: () => void;
  readonly onClose: () => void;
}

/** Ending takes a second step, since it can't be taken back: first what is still missing is read. */
export function EndDialog({ shift, where, entries, onDone, onClose }: EndDialogProps) {
  const { words } = useSeat();
  const underHood = where.rig?.underHood.map((one) => one.name) ?? [];
  return (
    <Dialog title={words.shifts.end.title(where.rigName)} testId="end-dialog" onClose={onClose}>
      <OrderForm
        path={shiftPath(shift.id, 'end')}
        testId="end-do"
        submit={words.shifts.end.do}
        onDone={() => {
          onDone();
          onClose();
        }}
        onCancel={onClose}
        compose={() => ({ body: {} })}
      >
        <p>{words.shifts.end.about}</p>
        <MissingList missing={whatsMissing(shift, entries, underHood, words)} />
      </OrderForm>
    </Dialog>
  );
}
