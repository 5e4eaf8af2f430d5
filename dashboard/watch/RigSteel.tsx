import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { LiveAlarm, LiveRig } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { formatAge } from '../format/age.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { ShortTrace } from './recent/ShortTrace.tsx';
import { Reading } from '../ui/Reading.tsx';
import { isCausePresent } from '../alarms/alarm-state.ts';

/** What decides whether the coating may follow, and how dry the line is. */
export function RigSteel({ rig, alarms }: { rig: LiveRig; alarms: readonly LiveAlarm[] }) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const left = findRigPoint(points, rig, 'steel-time-left');
  // Only where a trend is clear enough to be one; its quality says so.
  const note = left?.quality === 'good' && left.value !== null ? words.climate.timeLeft(formatAge(left.value * 60_000, words)) : null;
  const reading = (label: string, id: string, size: 'middle' | 'small', point = findRigPoint(points, rig, id)) => (
    <Reading
      label={label}
      point={point}
      trace={<ShortTrace point={point} />}
      size={size}
      testId={`${rig.id}-${id}`}
      more={id === 'steel-margin' ? note : null}
      priority={alarms.find((a) => isCausePresent(a.state) && a.owner === rig.id && a.point === id)?.priority ?? (null as AlarmPriority | null)}
    />
  );
  return (
    <section className="steel" aria-label={`${words.climate.region}, ${rig.name}`}>
      {reading(words.climate.steelMargin, 'steel-margin', 'middle')}
      {reading(words.climate.steel, 'steel-temperature', 'small')}
      {reading(`${words.climate.lineDewPoint} ${words.climate.atPressure}`, 'air-line-dew-point', 'small')}
      {reading(`${words.climate.lineDewPoint} ${words.climate.atAtmosphere}`, 'line-atmospheric-dew-point', 'small')}
    </section>
  );
}
