import { PRIORITIES } from '../../../domain/alarms/alarm.ts';
import type { Judged, JudgedAlarm, Rejudged } from '../../api/rejudge.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { formatDay } from '../../format/day.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { formatAge } from '../../format/age.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import type { ShiftWhere } from '../site-names.ts';
import { compareJudged } from './compare-judged.ts';
import { JudgedStrip } from './JudgedStrip.tsx';
import type { TriableRule } from './rule-settings.ts';

export interface SideBySideProps {
  readonly rejudged: Rejudged;
  readonly rules: readonly TriableRule[];
  readonly shift: Shift;
  readonly where: ShiftWhere;
}

const MOST_ROWS = 60;

/** Before and after: figures, then every alarm on one line, on the side where it stands. */
export function SideBySide({ rejudged, rules, shift, where }: SideBySideProps) {
  const { words } = useSeat();
  const told = words.shifts.rejudge;
  const { before, after } = rejudged;
  const rows = compareJudged(before.alarms, after.alarms);
  const figures: readonly { readonly label: string; readonly of: (judged: Judged) => number }[] = [
    { label: told.total, of: (judged) => judged.counts.total },
    { label: told.audible, of: (judged) => judged.counts.audible },
    ...PRIORITIES.map((priority) => ({ label: words.priorities[priority], of: (judged: Judged) => judged.counts[priority] })),
    { label: told.busiest, of: (judged) => judged.perTenMinutes },
    { label: told.chattering, of: (judged) => judged.chattering },
  ];
  const gone = rows.filter((row) => !row.after).length;
  const added = rows.filter((row) => !row.before).length;
  return (
    <section className="sides" data-testid="side-by-side" aria-label={told.result}>
      <h3>{told.result}</h3>
      <p role="status">{told.sum(gone, added, rows.length - gone - added)}</p>
      <div className="table-box" tabIndex={0} role="group" aria-label={told.figures}>
        <table className="sums">
          <thead>
            <tr>
              <th scope="col">{told.figure}</th>
              {figures.map((figure) => (
                <th key={figure.label} scope="col">
                  {figure.label}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {[[told.before, before] as const, [told.after, after] as const].map(([name, judged]) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                {figures.map((figure) => (
                  <td key={figure.label} data-changed={figure.of(before) !== figure.of(after) || undefined}>
                    {figure.of(judged)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <JudgedStrip rejudged={rejudged} fromMs={Date.parse(shift.startedAt)} toMs={Math.max(Date.parse(shift.startedAt) + 1_000, shift.endedAt === null ? latest(rejudged) : Date.parse(shift.endedAt))} zone={where.zone} />
      <ol className="sides__rows">
        <li className="sides__row sides__row--head">
          <span>{told.alarm}</span>
          <span>{told.before}</span>
          <span>{told.after}</span>
        </li>
        {rows.slice(0, MOST_ROWS).map((row, index) => (
          <li key={index} className="sides__row" data-testid="judged" data-side={row.before ? (row.after ? 'both' : 'before') : 'after'}>
            <span className="sides__name">
              <PriorityMark priority={(row.after ?? row.before)?.priority ?? 'low'} /> {rules.find((rule) => rule.name === row.name)?.title ?? row.name}
            </span>
            <Side alarm={row.before} none={told.notThen} zone={where.zone} />
            <Side alarm={row.after} none={told.notAfter} zone={where.zone} />
          </li>
        ))}
      </ol>
      {rows.length > MOST_ROWS ? <p className="soft">{told.moreRows(rows.length - MOST_ROWS)}</p> : null}
    </section>
  );
}

function Side({ alarm, none, zone }: { alarm: JudgedAlarm | null; none: string; zone: string }) {
  const { words } = useSeat();
  if (!alarm) return <span className="sides__none">{none}</span>;
  const atMs = Date.parse(alarm.raisedAt);
  const lasted = alarm.clearedAt === null ? words.shifts.rejudge.stands : formatAge(Date.parse(alarm.clearedAt) - atMs, words);
  return (
    <span>
      {formatDay(atMs, zone, words)} <strong>{formatClockOnce(atMs, zone, true)}</strong>, {lasted}
      {alarm.audible ? '' : `, ${words.shifts.rejudge.silent}`}
    </span>
  );
}

function latest({ before, after }: Rejudged): number {
  return Math.max(0, ...[...before.alarms, ...after.alarms].map((one) => Date.parse(one.clearedAt ?? one.raisedAt)));
}
