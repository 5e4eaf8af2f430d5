import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { LiveAlarm, LivePoint, LiveRig } from '../../domain/wire/live.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { LimitScale } from '../ui/LimitScale.tsx';
import { Reading } from '../ui/Reading.tsx';
import { isCausePresent } from '../alarms/alarm-state.ts';
import { ShortTrace } from './recent/ShortTrace.tsx';
import { useTimeLeft } from './recent/use-time-left.ts';
import { HandleState } from './HandleState.tsx';

/** The air that keeps someone alive, and whether the handle is held: read first, so drawn first and largest. */
export function RigAir({ rig, zone, alarms }: { rig: LiveRig; zone: string; alarms: readonly LiveAlarm[] }) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const find = (id: string): LivePoint | undefined => findRigPoint(points, rig, id);
  const priorityOf = (id: string): AlarmPriority | null =>
    alarms.find((a) => isCausePresent(a.state) && a.owner === rig.id && a.point === id)?.priority ?? null;
  const co = find('breathing-air-co');
  const pressure = find('breathing-air-pressure');
  const oxygen = find('breathing-air-oxygen');
  const coLeft = useTimeLeft(co);
  const pressureLeft = useTimeLeft(pressure);
  const oxygenLeft = useTimeLeft(oxygen);
  return (
    <section className="air" aria-label={`${words.air.region}, ${rig.name}`} data-testid={`air-${rig.id}`}>
      <h2 className="air__rig">{rig.name}</h2>
      <div className="air__co">
        <Reading label={words.air.co} point={co} size="huge" testId={`${rig.id}-co`} trace={<ShortTrace point={co} />} more={coLeft} priority={priorityOf('breathing-air-co')} />
        <LimitScale point={co} top={20} />
      </div>
      <div className="air__pressure">
        <Reading label={words.air.pressure} point={pressure} size="large" testId={`${rig.id}-breathing-pressure`} trace={<ShortTrace point={pressure} />} more={pressureLeft} priority={priorityOf('breathing-air-pressure')} />
        <LimitScale point={pressure} top={125} />
      </div>
      {oxygen ? <Reading label={words.air.oxygen} point={oxygen} size="large" testId={`${rig.id}-oxygen`} trace={<ShortTrace point={oxygen} />} more={oxygenLeft} priority={priorityOf('breathing-air-oxygen')} /> : null}
      <div className="air__who">
        <div className="reading__label">{words.air.hood}</div>
        {/* Nobody logged does not prove that nobody is under a hood: it says no more than that. */}
        <p className="air__names" data-testid={`${rig.id}-under-hood`} data-nobody={rig.underHood.length === 0 || undefined}>
          {rig.underHood.length === 0 ? words.air.nobodyLogged : rig.underHood.map((who) => words.air.since(who.name, formatClock(who.sinceMs, zone, false))).join(', ')}
        </p>
        <HandleState rig={rig.id} zone={zone} stop={find('nozzle-stop')} handle={find('remote-control')} blasting={find('blasting')} />
        {rig.bumpTestUntilMs === null ? null : <p className="air__bump">{words.air.bumpTest(formatClock(rig.bumpTestUntilMs, zone, false))}</p>}
      </div>
    </section>
  );
}
