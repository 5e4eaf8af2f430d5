import type { LiveRig } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';

/** Where the device is carried about: the ways to the rig's own keys and to the shifts, as large as a glove needs. */
export function WatchDoors({ rig }: { rig: LiveRig }) {
  const { words } = useSeat();
  return (
    <nav className="doors" aria-label={words.rig.door}>
      <a className="doors__door" data-testid="door-rig" href={routeHref('rig', {}, [rig.id])}>
        <strong>{words.rig.door}</strong>
        <span>{words.rig.doorMore}</span>
      </a>
      <a className="doors__door" data-testid="door-shifts" href={routeHref('shifts')}>
        <strong>{words.shifts.door}</strong>
        <span>{words.shifts.doorMore}</span>
      </a>
    </nav>
  );
}
