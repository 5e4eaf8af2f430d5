import type { LiveSite } from '../../domain/wire/live.ts';
import { mayRunShift } from '../api/session.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';
import type { ScreenProps } from '../page/screen-props.ts';
import { CompareShifts } from './compare/CompareShifts.tsx';
import { ShiftList } from './list/ShiftList.tsx';
import { ShiftView } from './one/ShiftView.tsx';
import { Overview } from './overview/Overview.tsx';
import { Proposals } from './rejudge/Proposals.tsx';
import { parseShiftPlace } from './shift-route.ts';
import { StartShift } from './start/StartShift.tsx';
import './shifts.css';
import './shift-one.css';
import './trace-viewer.css';
import './shift-figures.css';

export interface ShiftsScreenProps extends ScreenProps {
  readonly sites: readonly LiveSite[];
  readonly rest: readonly string[];
  readonly query: URLSearchParams;
}

/** The recorded shifts: found, opened, compared; and the running ones, from start to signature. */
export function ShiftsScreen({ site, sites, rest, query }: ShiftsScreenProps) {
  const { words, session } = useSeat();
  const place = parseShiftPlace(rest);
  const tabs = [
    { at: 'list', label: words.shifts.all, href: routeHref('shifts') },
    { at: 'overview', label: words.shifts.overview, href: routeHref('shifts', {}, ['overview']) },
    { at: 'proposals', label: words.shifts.proposals, href: routeHref('shifts', {}, ['proposals']) },
    ...(mayRunShift(session.role) ? [{ at: 'start', label: words.shifts.start, href: routeHref('shifts', {}, ['start']) }] : []),
  ];
  return (
    <main className="sheet shifts" data-testid="shifts-screen">
      {/* A shift has tabs of its own: two rows of them would push it below the fold. */}
      {place.at === 'one' || place.at === 'compare' ? null : (
        <nav className="tabs" aria-label={words.shifts.tabs}>
          {tabs.map((tab) => (
            <a key={tab.at} className="tabs__tab" data-testid={`shifts-tab-${tab.at}`} href={tab.href} aria-current={tab.at === place.at ? 'page' : undefined}>
              {tab.label}
            </a>
          ))}
        </nav>
      )}
      {place.at === 'list' ? <ShiftList sites={sites} query={query} /> : null}
      {place.at === 'overview' ? <Overview sites={sites} query={query} /> : null}
      {place.at === 'proposals' ? <Proposals sites={sites} /> : null}
      {place.at === 'start' ? <StartShift key={query.get('rig') ?? ''} site={site} rigId={query.get('rig')} /> : null}
      {place.at === 'one' ? <ShiftView key={place.id} id={place.id} tab={place.tab} sites={sites} query={query} /> : null}
      {place.at === 'compare' ? <CompareShifts key={place.ids.join()} ids={place.ids} sites={sites} /> : null}
    </main>
  );
}
