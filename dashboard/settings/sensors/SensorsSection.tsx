import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { mayTendRig } from '../../api/session.ts';
import { type BumpTest, type Calibration, readSensorChecks } from '../../api/sensor-checks.ts';
import { formatDate } from '../../format/day.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Select } from '../../ui/Select.tsx';
import { BumpForm } from './BumpForm.tsx';
import { CalibrationForm } from './CalibrationForm.tsx';

/** What was checked on a rig's sensors, what is due, and telling it. */
export function SensorsSection({ site }: { site: LiveSite }) {
  const { words, session } = useSeat();
  const told = words.settingsScreen.sensors;
  const [rigId, setRigId] = useState(site.rigs[0]?.id ?? '');
  const [form, setForm] = useState<'calibration' | 'bump' | null>(null);
  const { body, failure, again } = useAnswer(rigId, () => readSensorChecks(rigId));
  const day = (at: string): string => formatDate(Date.parse(at), site.zone, words);
  const done = (): void => {
    setForm(null);
    again();
  };
  return (
    <div data-testid="sensors-section">
      <p className="soft">{told.lead}</p>
      <Select label={told.rig} value={rigId} options={site.rigs.map(({ id, name }) => [id, name])} onChange={setRigId} />
      {failure === null ? null : <p role="alert">{failure === '' ? words.settingsScreen.unreachable : failure}</p>}
      <ul className="due" data-testid="due">
        {body?.due.map(({ entry, title, doneAt, doneBy, dueAt, overdue }) => (
          <li key={entry} data-overdue={overdue || undefined}>
            <strong>{words.told(title)}</strong> {doneAt === null ? told.notDone : told.line('', day(doneAt), doneBy ?? '').replace(/^, /, '')}
            <span>{dueAt === null ? '' : overdue ? told.overdue(day(dueAt)) : told.due(day(dueAt))}</span>
          </li>
        ))}
      </ul>
      {mayTendRig(session.role) ? (
        <div className="sensors__keys">
          <button type="button" className="action action--quiet" data-testid="tell-calibration" aria-expanded={form === 'calibration'} onClick={() => setForm(form === 'calibration' ? null : 'calibration')}>
            {told.tellCalibration}
          </button>
          <button type="button" className="action action--quiet" data-testid="tell-bump" aria-expanded={form === 'bump'} onClick={() => setForm(form === 'bump' ? null : 'bump')}>
            {told.tellBump}
          </button>
        </div>
      ) : null}
      {form === 'calibration' ? <CalibrationForm rig={rigId} zone={site.zone} onDone={done} /> : null}
      {form === 'bump' ? <BumpForm rig={rigId} onDone={done} /> : null}
      <h3>{told.history}</h3>
      {body && body.calibrations.history.length + body.bumpTests.history.length === 0 ? <p className="soft">{told.none}</p> : null}
      <ul className="checks" data-testid="checks">
        {body?.calibrations.history.map((one) => <Line key={`${one.point} ${one.certificate}`} what={`${told.calibration} ${one.certificate}`} one={one} day={day} more={values(one)} />)}
        {body?.bumpTests.history.map((one) => <Line key={`${one.point} ${one.doneAt}`} what={told.bump} one={one} day={day} more={`${one.gas.value} ${symbolOf(one.point)}, ${one.passed ? told.passedWord : told.failedWord}`} />)}
      </ul>
    </div>
  );
}

function Line({ what, one, day, more }: { what: string; one: Calibration | BumpTest; day: (at: string) => string; more: string }) {
  const { words } = useSeat();
  return (
    <li>
      <strong>{words.told(findPointKind(one.point)?.label ?? one.point)}</strong>
      <span>{words.settingsScreen.sensors.line(what, day(one.doneAt), one.doneBy)}</span>
      <span>{[more, one.note].filter((part) => part !== '').join('. ')}</span>
      {'dueAt' in one ? <span>{one.overdue ? words.settingsScreen.sensors.overdue(day(one.dueAt)) : words.settingsScreen.sensors.due(day(one.dueAt))}</span> : null}
    </li>
  );
}

function values({ asFound, asLeft, point }: Calibration): string {
  return [asFound, asLeft].map((one) => (one ? `${one.value} ${symbolOf(point)}` : '–')).join(' → ');
}

function symbolOf(point: string): string {
  return (findPointKind(point)?.unit ?? '').replaceAll(/[[\]]/g, '');
}
