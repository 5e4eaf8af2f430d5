import type { LiveAlarm, LiveFlood, LiveSite } from '../../domain/wire/live.ts';
import { isAside } from '../alarms/alarm-state.ts';
import { orderAlarms } from '../alarms/order-alarms.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { type Route, routeHref } from './route.ts';
import { AlarmItem } from './AlarmItem.tsx';
import { SoundButton } from './SoundButton.tsx';

/** As many as the strip has room for on a desk; a phone hides the second. */
const IN_STRIP = 2;

/** Screens whose second door leads to the alarms. */
const BESIDE: ReadonlySet<Route> = new Set<Route>(['shifts', 'rig', 'ready', 'sizing', 'settings', 'sites']);

export interface AlarmStripProps {
  readonly site: LiveSite;
  /** All of the site, set aside or not. */
  readonly alarms: readonly LiveAlarm[];
  readonly flood: LiveFlood | null;
  readonly route: Route;
  readonly isLive: boolean;
}

/** The place kept for alarms on every screen: always there and always as high, so that nothing below moves when one comes. */
export function AlarmStrip({ site, alarms, flood, route, isLive }: AlarmStripProps) {
  const { words } = useSeat();
  const standing = orderAlarms(alarms);
  const isBeside = BESIDE.has(route);
  const asideCount = alarms.filter((a) => isAside(a.state)).length;
  return (
    <section className="strip" data-testid="alarm-strip" data-count={standing.length} aria-label={words.alarms.region}>
      <div className="strip__slots" role="log" aria-live="assertive" aria-relevant="additions">
        {standing.slice(0, IN_STRIP).map((alarm) => (
          <AlarmItem key={alarm.id} alarm={alarm} site={site} />
        ))}
        {standing.length === 0 ? <p className="strip__none">{route === 'sites' ? `${site.name}: ` : ''}{isLive ? words.alarms.none : words.alarms.unknown}</p> : null}
      </div>
      <div className="strip__keys">
        <SoundButton />
        {/* One place for the way there and back. */}
        <a className="strip__door" data-testid="door" data-count={standing.length} data-flood={flood ? true : undefined} href={routeHref(route === 'watch' ? 'alarms' : 'watch')}>
          <strong>{route === 'watch' ? words.alarms.door : words.alarms.doorBack}</strong>
          {route === 'watch' ? <AlarmCounts standing={standing.length} aside={asideCount} flood={flood} /> : null}
        </a>
        <a className="strip__door strip__door--second" data-testid="second-door" href={routeHref(isBeside ? 'alarms' : 'shifts')}>
          <strong>{isBeside ? words.alarms.door : words.shifts.door}</strong>
          {isBeside ? <AlarmCounts standing={standing.length} aside={asideCount} flood={flood} /> : <span>{words.shifts.doorMore}</span>}
        </a>
      </div>
    </section>
  );
}

function AlarmCounts({ standing, aside, flood }: { standing: number; aside: number; flood: LiveFlood | null }) {
  const { words } = useSeat();
  return (
    <>
      <span>{flood ? words.alarms.doorFlood(flood.count) : words.alarms.doorStanding(standing)}</span>
      <span data-testid="aside-count">{words.alarms.doorAside(aside)}</span>
    </>
  );
}
