import { useState } from 'react';
import { POINT_KINDS } from '../../../domain/points/catalogue.ts';
import { dayStartMs } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { OrderForm } from '../../ui/OrderForm.tsx';
import { Select } from '../../ui/Select.tsx';
import { readValue } from './read-value.ts';

const SENSORS = POINT_KINDS.filter(({ origin, owner }) => origin === 'measured' && owner === 'rig');
const NOON_MS = 12 * 3_600_000;

/** The certificate of a sensor, as it is on paper. */
export function CalibrationForm({ rig, zone, onDone }: { readonly rig: string; readonly zone: string; readonly onDone: () => void }) {
  const { words } = useSeat();
  const told = words.settingsScreen.sensors;
  const [held, setHeld] = useState({ point: 'breathing-air-co', certificate: '', doneOn: '', dueOn: '', asFound: '', asLeft: '', doneBy: '', note: '' });
  const field = (name: Exclude<keyof typeof held, 'point'>, label: string, type: 'text' | 'date' = 'text') => (
    <label className="field">
      {label}
      <input type={type} value={held[name]} data-testid={`calibration-${name}`} autoComplete="off" onChange={(event) => setHeld({ ...held, [name]: event.target.value })} />
    </label>
  );
  const compose = (): { body: unknown } | { missing: string } => {
    const { point, doneOn, dueOn, asFound, asLeft, certificate, doneBy, note } = held;
    const [done, due] = [dayStartMs(doneOn, zone), dayStartMs(dueOn, zone)];
    if (certificate.trim() === '' || done === null || due === null) return { missing: told.missing };
    const [found, left] = [readValue(point, asFound), readValue(point, asLeft)];
    if (found === undefined || left === undefined) return { missing: told.badValue('ppm') };
    // Of the day only: told on the same day, noon may still be to come.
    const doneAtMs = Math.min(done + NOON_MS, Date.now());
    return { body: { point, certificate, doneAt: new Date(doneAtMs).toISOString(), dueAt: new Date(due).toISOString(), asFound: found, asLeft: left, doneBy, note } };
  };
  return (
    <OrderForm path={`/api/rigs/${encodeURIComponent(rig)}/calibrations`} compose={compose} submit={told.send} testId="send-calibration" onDone={onDone}>
      <div className="leaves">
        <Select label={told.sensor} value={held.point} options={SENSORS.map(({ id, label }) => [id, words.told(label)])} onChange={(point) => setHeld({ ...held, point })} />
        {field('certificate', told.certificate)}
        {field('doneOn', told.doneOn, 'date')}
        {field('dueOn', told.dueOn, 'date')}
        {field('asFound', told.asFound)}
        {field('asLeft', told.asLeft)}
        {field('doneBy', told.by)}
        {field('note', told.note)}
      </div>
    </OrderForm>
  );
}
