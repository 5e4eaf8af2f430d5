import { useState } from 'react';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { shiftPath } from '../../api/shifts.ts';
import { SETUP_QUANTITIES, SETUP_TEXTS, type Shift } from '../../api/shift-shapes.ts';
import { mayAddToRecord } from '../../api/session.ts';
import { formatQuantity } from '../../format/quantity.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Dialog } from '../../ui/Dialog.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';
import { draftOf, readDraft } from '../start/setup-draft.ts';
import { SetupFields } from '../start/SetupFields.tsx';
import { CorrectDialog } from './CorrectDialog.tsx';

/** Who was there, with what, and how the sensors were proved. While the shift runs, a change is made here; later it is corrected beside. */
export function SetupPanel({ shift, onChange }: { shift: Shift; onChange: () => void }) {
  const { desk, words, session } = useSeat();
  const { units } = useStore(desk.preferences);
  const [open, setOpen] = useState<'change' | 'correct' | null>(null);
  const told = words.shifts.setup;
  const rows = [...SETUP_QUANTITIES.map((name) => [name, shift.setup[name] ? formatQuantity(shift.setup[name], units) : ''] as const), ...SETUP_TEXTS.map((name) => [name, shift.setup[name] ?? ''] as const)];
  const mayChange = shift.state === 'open' && mayAddToRecord(session.role);
  return (
    <section className="setup" data-testid="setup" aria-label={told.title}>
      <h3>{told.crew}</h3>
      {shift.crew.length === 0 ? <p className="soft">{told.nobody}</p> : null}
      <ul className="setup__crew">
        {shift.crew.map((one) => (
          <li key={one.name}>
            <strong>{one.name}</strong>
            {one.job === '' ? '' : `, ${one.job}`}
          </li>
        ))}
      </ul>
      <h3>{told.title}</h3>
      <dl className="setup__list">
        {rows.map(([name, value]) => (
          <div key={name}>
            <dt>{told[name]}</dt>
            <dd>{value === '' ? <span className="soft">{told.notTold}</span> : value}</dd>
          </div>
        ))}
      </dl>
      {mayChange || mayAddToRecord(session.role) ? (
        <button type="button" className="action action--quiet" data-testid="change-setup" onClick={() => setOpen(mayChange ? 'change' : 'correct')}>
          {mayChange ? told.change : told.correct}
        </button>
      ) : null}
      <h3>{told.calibrations}</h3>
      {shift.calibrations.length === 0 ? <p className="soft">{told.notTold}</p> : null}
      <ul className="setup__calibrations">
        {shift.calibrations.map((one) => (
          <li key={one.point + one.certificate}>
            <strong>{words.told(findPointKind(one.point)?.label ?? one.point)}</strong> {told.calibrated(one.certificate, one.done.slice(0, 10), one.due.slice(0, 10))}
          </li>
        ))}
      </ul>
      {open === 'change' ? <ChangeSetup shift={shift} onDone={onChange} onClose={() => setOpen(null)} /> : null}
      {open === 'correct' ? <CorrectDialog shift={shift.id} of="setup" what={told.title} onDone={onChange} onClose={() => setOpen(null)} /> : null}
    </section>
  );
}

function ChangeSetup({ shift, onDone, onClose }: { shift: Shift; onDone: () => void; onClose: () => void }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const [draft, setDraft] = useState(() => draftOf(shift.setup, units));
  const told = words.shifts.startForm;
  return (
    <Dialog title={words.shifts.setup.change} testId="setup-dialog" onClose={onClose}>
      <OrderForm
        path={shiftPath(shift.id, 'setup')}
        method="PUT"
        testId="setup-do"
        submit={words.shifts.setup.changeDo}
        onDone={() => {
          onDone();
          onClose();
        }}
        onCancel={onClose}
        compose={() => {
          const read = readDraft(draft, units, shift.setup);
          return 'wrong' in read ? { missing: told.wrong(words.shifts.setup[read.wrong], told.examples[read.wrong]) } : { body: read.setup };
        }}
      >
        <p>{words.shifts.setup.changeAbout}</p>
        <SetupFields draft={draft} onChange={setDraft} />
      </OrderForm>
    </Dialog>
  );
}
