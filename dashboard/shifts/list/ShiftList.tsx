import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { dayStartMs } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import { Select } from '../../ui/Select.tsx';
import { ShiftRow } from './ShiftRow.tsx';
import { useShiftList } from './use-shift-list.ts';

const STATES = ['open', 'ended', 'signed-once', 'sealed'] as const;
const FILTERS = ['site', 'rig', 'state', 'search', 'from', 'to'] as const;
type Filters = Readonly<Record<(typeof FILTERS)[number], string>>;
const DAY_MS = 86_400_000;

/** Every shift, newest first. What narrows the list is in the address, so that the way back from a shift keeps it. */
export function ShiftList({ sites, query }: { sites: readonly LiveSite[]; query: URLSearchParams }) {
  const { words } = useSeat();
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const said = Object.fromEntries(FILTERS.map((name) => [name, query.get(name) ?? ''])) as Filters;
  const zone = (sites.find((site) => site.id === said.site) ?? sites[0])?.zone ?? 'UTC';
  const toStart = dayStartMs(said.to, zone);
  const running = sites.flatMap((site) => site.rigs.map((rig) => `${rig.id}=${rig.shift?.id ?? ''}`)).join();
  const listing = useShiftList(
    { site: said.site || null, rig: said.rig || null, state: said.state || null, search: said.search, fromMs: dayStartMs(said.from, zone), toMs: toStart === null ? null : toStart + DAY_MS },
    running,
  );
  const narrow = (part: Partial<Filters>): void => {
    const next = Object.fromEntries(Object.entries({ ...said, ...part }).filter(([, value]) => value !== ''));
    // Replaced, not added: going back leads out of the list, not through every letter that was typed.
    history.replaceState(null, '', routeHref('shifts', next));
    window.dispatchEvent(new HashChangeEvent('hashchange'));
  };
  const rigs = sites.filter((site) => said.site === '' || site.id === said.site).flatMap((site) => site.rigs);
  const choose = (id: string, isOn: boolean): void => setChosen(isOn ? [...chosen, id].slice(-2) : chosen.filter((one) => one !== id));
  const isNarrowed = Object.values(said).some((value) => value !== '');
  return (
    <section className="shift-list" data-testid="shift-list" aria-label={words.shifts.all}>
      <form className="filters" role="search" onSubmit={(event) => event.preventDefault()}>
        <label className="field shift-list__search">
          {words.shifts.search}
          <input type="search" name="search" autoComplete="off" placeholder={words.shifts.searchHint} value={said.search} onChange={(event) => narrow({ search: event.target.value })} />
        </label>
        {sites.length > 1 ? <Select label={words.siteSwitch} value={said.site} all={words.shifts.everySite} options={sites.map((site) => [site.id, site.name])} onChange={(site) => narrow({ site, rig: '' })} /> : null}
        <Select label={words.shifts.rig} value={said.rig} all={words.shifts.everyRig} options={rigs.map((rig) => [rig.id, rig.name])} onChange={(rig) => narrow({ rig })} />
        <Select label={words.shifts.state} value={said.state} all={words.shifts.everyState} options={STATES.map((state) => [state, words.shifts.states[state]])} onChange={(state) => narrow({ state })} />
        <label className="field">
          {words.shifts.from}
          <input type="date" name="from" value={said.from} onChange={(event) => narrow({ from: event.target.value })} />
        </label>
        <label className="field">
          {words.shifts.to}
          <input type="date" name="to" value={said.to} onChange={(event) => narrow({ to: event.target.value })} />
        </label>
      </form>
      <div className="shift-list__head">
        <p className="soft" role="status">
          {listing.failure !== null ? words.shifts.failed(words.problem(listing.failure) || words.shift.serverUnreachable) : listing.isLoading ? words.shifts.loading : words.shifts.count(listing.cards.length, listing.hasOlder)}
        </p>
        <p className="shift-list__legend soft">{words.shifts.pictureLegend}</p>
        {chosen.length === 2 ? (
          <a className="action action--link" data-testid="compare" href={routeHref('shifts', {}, ['compare', ...chosen])}>
            {words.shifts.compareThese}
          </a>
        ) : (
          <p className="shift-list__hint soft">{words.shifts.compareHint(2 - chosen.length)}</p>
        )}
      </div>
      <ol className="shift-rows">
        {listing.cards.map((card) => (
          <ShiftRow key={card.id} card={card} sites={sites} isChosen={chosen.includes(card.id)} onChoose={(isOn) => choose(card.id, isOn)} />
        ))}
      </ol>
      {listing.cards.length === 0 && !listing.isLoading && listing.failure === null ? <p className="shift-list__none">{isNarrowed ? words.shifts.noneFound : words.shifts.noneYet}</p> : null}
      {listing.hasOlder ? (
        <button type="button" className="action" data-testid="older-shifts" disabled={listing.isLoading} onClick={listing.older}>
          {words.shifts.older}
        </button>
      ) : null}
    </section>
  );
}
