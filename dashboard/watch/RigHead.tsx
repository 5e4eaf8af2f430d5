import type { LiveRig } from '../../domain/wire/live.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { RECENT_MINUTES } from './recent/RecentTraces.tsx';
import { routeHref } from '../page/route.ts';

export function RigHead({ rig, zone }: { rig: LiveRig; zone: string }) {
  const { words } = useSeat();
  return (
    <header className="rig__head">
      <h2 className="rig__name">
        {rig.name} <span className="rig__what">{words.line.region}</span>
        <span className="rig__what rig__recent">{words.line.recent(RECENT_MINUTES)}</span>
      </h2>
      <a className="rig__ready" data-testid={`ready-${rig.id}`} href={routeHref('ready', {}, [rig.id])}>
        {words.ready.door}
      </a>
      <p className="rig__built">
        {words.told(rig.built)}
        {rig.built ? ', ' : ''}
        {rig.shift ? (
          <a className="rig__link" href={routeHref('shifts', {}, [rig.shift.id])}>
            {words.line.shift(formatClock(rig.shift.startedAtMs, zone, false), rig.shift.startedBy)}
          </a>
        ) : (
          words.line.noShift
        )}
        <a className="rig__link rig__link--tend" data-testid={`tend-${rig.id}`} href={routeHref('rig', {}, [rig.id])}>
          {words.rig.door}
        </a>
      </p>
    </header>
  );
}
