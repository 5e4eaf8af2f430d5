import type { LiveSite } from '../../domain/wire/live.ts';
import { formatClock, zoneAbbreviation } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useLink } from '../hooks/use-link.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useStore } from '../hooks/use-store.ts';
import { isLive } from '../link/link-state.ts';
import { serverTimeMs } from '../link/server-clock.ts';
import { LinkBand } from './LinkBand.tsx';
import { LinkLine } from './LinkLine.tsx';
import { PageMenu } from './PageMenu.tsx';

export interface TopBarProps {
  readonly site: LiveSite | undefined;
  readonly sites: readonly LiveSite[];
  readonly onSite: (id: string) => void;
  readonly onSignOut: () => void;
}

export function TopBar({ site, sites, onSite, onSignOut }: TopBarProps) {
  const link = useLink(site);
  const { desk, words } = useSeat();
  const { nowMs } = useReader();
  const feed = useStore(desk.feed);
  // The clock is the server's: without it, it stands where it last was.
  const lastMs = feed.clock && feed.frameAtMs !== null ? serverTimeMs(feed.clock, feed.frameAtMs) : null;
  const clockMs = isLive(link) ? nowMs : lastMs;
  return (
    <header className="bar">
      <h1 className="bar__site">
        {sites.length > 1 ? (
          <select aria-label={words.siteSwitch} value={site?.id} onChange={(event) => onSite(event.target.value)}>
            {sites.map((s) => (
              <option key={s.id} value={s.id}>
                {s.name}
              </option>
            ))}
          </select>
        ) : (
          (site?.name ?? words.product)
        )}
      </h1>
      <LinkLine link={site ? link : null} />
      {site && clockMs !== null ? (
        <p className="bar__clock" data-testid="clock" data-running={isLive(link)}>
          <time dateTime={new Date(clockMs).toISOString()}>{formatClock(clockMs, site.zone, true)}</time> {zoneAbbreviation(clockMs, site.zone)}
        </p>
      ) : null}
      <PageMenu onSignOut={onSignOut} hasManySites={sites.length > 1} />
      <LinkBand link={link} asOf={lastMs !== null && site ? formatClock(lastMs, site.zone, true) : null} />
    </header>
  );
}
