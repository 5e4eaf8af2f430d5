import type { LiveRig } from '../../domain/wire/live.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';

export function RigHead({ rig, zone }: { rig: LiveRig; zone: string }) {
  const { words } = useSeat();
  return (
    <header className="rig__head">
      <h2 className="rig__name">
        {rig.name} <span className="rig__what">{words.line.region}</span>
      </h2>
      <a className="rig__ready" data-testid={`ready-${rig.id}`} href={routeHref('ready', {}, [rig.id])}>
        {words.ready.door}
      </a>
      <p className="rig__built">
        {rig.built}
        {rig.built ? ', ' : ''}
        {rig.shift ? words.line.shift(formatClock(rig.shift.startedAtMs, zone, false), rig.shift.startedBy) : words.line.noShift}
      </p>
    </header>
  );
}
