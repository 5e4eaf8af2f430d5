import type { LiveSite } from '../../domain/wire/live.ts';
import { mayManagePeople, maySeeAudit, maySetUpScreens } from '../api/session.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';
import { EntryTab } from './entry/EntryTab.tsx';
import { EverybodyTab } from './everybody/EverybodyTab.tsx';
import { OwnTab } from './own/OwnTab.tsx';
import { ToldTab } from './told/ToldTab.tsx';
import { TrailTab } from './trail/TrailTab.tsx';
import './people.css';

export interface PeopleScreenProps {
  /** The one that the page shows; undefined where there is none yet. */
  readonly site: LiveSite | undefined;
  readonly sites: readonly LiveSite[];
  readonly rest: readonly string[];
}

/** Oneself, everybody, the ways in, who is told of what, and who did what. */
export function PeopleScreen({ site, sites, rest }: PeopleScreenProps) {
  const { words, session } = useSeat();
  const { role } = session;
  const zone = site?.zone ?? 'UTC';
  const tabs = [
    { at: 'mine', label: words.people.mine, isThere: true },
    { at: 'told', label: words.people.told, isThere: true },
    { at: 'everybody', label: words.people.everybody, isThere: mayManagePeople(role) },
    { at: 'entry', label: words.people.entry, isThere: maySetUpScreens(role) },
    { at: 'trail', label: words.people.trail, isThere: maySeeAudit(role) },
  ].filter(({ isThere }) => isThere);
  const at = tabs.find((tab) => tab.at === rest[0])?.at ?? 'mine';
  return (
    <main className="sheet people" data-testid="people-screen">
      <nav className="tabs" aria-label={words.people.tabs}>
        {tabs.map((tab) => (
          <a key={tab.at} className="tabs__tab" data-testid={`people-tab-${tab.at}`} href={routeHref('people', {}, [tab.at])} aria-current={tab.at === at ? 'page' : undefined}>
            {tab.label}
          </a>
        ))}
      </nav>
      {at === 'mine' ? <OwnTab zone={zone} /> : null}
      {at === 'told' ? <ToldTab site={site} zone={zone} /> : null}
      {at === 'everybody' ? <EverybodyTab sites={sites} zone={zone} opened={rest[1] ?? null} /> : null}
      {at === 'entry' ? <EntryTab sites={sites} zone={zone} /> : null}
      {at === 'trail' ? <TrailTab sites={sites} zone={zone} /> : null}
    </main>
  );
}
