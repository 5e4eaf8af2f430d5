import { useState } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDay } from '../../format/day.ts';
import { tellInstantsIn } from '../../format/instants-in.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import { ownersOf } from '../../link/site-facts.ts';
import { Select } from '../../ui/Select.tsx';
import { JournalDays } from './JournalDays.tsx';
import { alarmsIn, filterJournal } from './filter-journal.ts';
import { useJournal } from './use-journal.ts';

export interface JournalViewProps {
  readonly site: LiveSite;
  readonly alarms: readonly LiveAlarm[];
  /** Id of the one alarm whose journal was asked for. */
  readonly onlyAlarm: string | null;
}

/** Everything that happened, newest first, with what narrows it always in sight. */
export function JournalView({ site, alarms, onlyAlarm }: JournalViewProps) {
  const { words } = useSeat();
  const [owner, setOwner] = useState('');
  const [filter, setFilter] = useState({ kind: '', alarm: '', text: '' });
  const journal = useJournal(site.id, owner === '' ? null : owner, onlyAlarm);
  // Sought in as it is read.
  const told = journal.entries.map((entry) => ({ ...entry, text: tellInstantsIn(words.journalLine(entry.text), Date.parse(entry.at), site.zone, words) }));
  const shown = filterJournal(told, filter);
  const oldest = journal.entries.at(-1);
  const nameOf = (id: string): string => [...site.rigs, ...site.compressors].find((o) => o.id === id)?.name ?? words.alarms.site;
  return (
    <section className="journal" data-testid="journal" aria-label={words.alarms.journal}>
      <form className="filters" onSubmit={(event) => event.preventDefault()}>
        <Select label={words.journal.rig} value={owner} all={words.journal.everywhere} options={ownersOf(site).map((id) => [id, nameOf(id)])} onChange={setOwner} />
        <Select label={words.journal.kind} value={filter.kind} all={words.journal.everyKind} options={Object.entries(words.journal.kinds)} onChange={(kind) => setFilter({ ...filter, kind })} />
        {onlyAlarm === null ? (
          <Select label={words.journal.alarm} value={filter.alarm} all={words.journal.everyAlarm} options={alarmsIn(journal.entries, alarms)} onChange={(alarm) => setFilter({ ...filter, alarm })} />
        ) : (
          <a className="action action--quiet action--link" href={routeHref('alarms/journal')} data-testid="all-journal">
            {words.journal.all}
          </a>
        )}
        <label className="field">
          {words.journal.text}
          <input type="search" name="text" autoComplete="off" value={filter.text} onChange={(event) => setFilter({ ...filter, text: event.target.value })} />
        </label>
        <button type="button" className="action action--quiet" disabled={journal.isLoading} onClick={journal.renew}>
          {words.journal.newer}
        </button>
      </form>
      <p className="journal__reach soft" role="status">
        {journal.failure !== null
          ? words.journal.failed(words.problem(journal.failure) || words.shift.serverUnreachable)
          : oldest
            ? words.journal.reaches(shown.length, journal.entries.length, `${formatDay(Date.parse(oldest.at), site.zone, words)} ${formatClock(Date.parse(oldest.at), site.zone, false)}`)
            : journal.isLoading
              ? words.journal.loading
              : ''}
      </p>
      <JournalDays entries={shown} zone={site.zone} nameOf={nameOf} />
      {shown.length === 0 && !journal.isLoading && journal.failure === null ? <p>{words.journal.nothing}</p> : null}
      {journal.hasOlder ? (
        <button type="button" className="action" data-testid="older" disabled={journal.isLoading} onClick={journal.older}>
          {journal.isLoading ? words.journal.loading : words.journal.older}
        </button>
      ) : journal.entries.length > 0 ? (
        <p className="soft">{words.journal.end}</p>
      ) : null}
    </section>
  );
}
