import type { AuditRow } from '../../api/people.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDate } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';

/** One deed. */
export function TrailRow({ row, zone }: { readonly row: AuditRow; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.audit;
  const atMs = Date.parse(row.at);
  const role = row.role === '' ? '' : words.roleNames(row.role);
  return (
    <li className="row row--tall" data-what={row.what}>
      <div className="row__what">
        <strong>
          {row.what.replaceAll('-', ' ')}
          {row.subject === null ? '' : `: ${row.subject}`}
          {row.site === null || row.site === row.subject ? '' : `, ${row.site}`}
        </strong>
        <span>
          <time dateTime={row.at}>
            {formatDate(atMs, zone, words)}, {formatClock(atMs, zone, true)}
          </time>{' '}
          {told.by(row.by, role, row.address)}
        </span>
        {row.old === null || row.old === undefined ? null : (
          <span className="soft row__value">
            {told.old}: {textOf(row.old)}
          </span>
        )}
        {row.new === null || row.new === undefined ? null : (
          <span className="soft row__value">
            {told.new}: {textOf(row.new)}
          </span>
        )}
        {row.why === null ? null : <span>{told.because(row.why)}</span>}
      </div>
    </li>
  );
}

/** A deed's values as they were written: plain text, or the fields of it one after the other. */
function textOf(value: unknown): string {
  if (typeof value !== 'object' || value === null) return String(value);
  if (Array.isArray(value)) return value.map(textOf).join(', ');
  return Object.entries(value)
    .map(([name, held]) => `${name} ${held === null ? '–' : textOf(held)}`)
    .join(', ');
}
