import { Fragment } from 'react';
import { type AlarmPriority, PRIORITIES } from '../../../domain/alarms/alarm.ts';
import type { JournalEntry } from '../../api/read-journal.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDay } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';

export interface JournalDaysProps {
  /** Newest first. */
  readonly entries: readonly JournalEntry[];
  readonly zone: string;
  readonly nameOf: (owner: string) => string;
}

/** Entries under the day they belong to. A raised alarm carries its mark; all else is ink. */
export function JournalDays({ entries, zone, nameOf }: JournalDaysProps) {
  const { words } = useSeat();
  return (
    <ol className="log">
      {entries.map((entry, index) => {
        const atMs = Date.parse(entry.at);
        const day = formatDay(atMs, zone, words);
        const before = entries[index - 1];
        const priority = raisedPriority(entry);
        return (
          <Fragment key={entry.id}>
            {before && formatDay(Date.parse(before.at), zone, words) === day ? null : <li className="log__day">{day}</li>}
            <li className="log__entry" data-kind={entry.kind} data-testid="journal-entry">
              <time dateTime={entry.at}>{formatClock(atMs, zone, true)}</time>
              <span className="log__mark">{priority ? <PriorityMark priority={priority} /> : null}</span>
              <span className="log__where">{entry.rig === null ? '' : nameOf(entry.rig)}</span>
              <span className="log__text">{entry.text}</span>
              <span className="log__kind">{words.journal.kinds[entry.kind] ?? entry.kind}</span>
            </li>
          </Fragment>
        );
      })}
    </ol>
  );
}

function raisedPriority({ kind, detail }: JournalEntry): AlarmPriority | null {
  if (kind !== 'alarm' || detail['to'] !== 'unacknowledged') return null;
  return PRIORITIES.find((priority) => priority === detail['priority']) ?? null;
}
