import { stringify } from 'csv-stringify/sync';
import { localTime } from '../../domain/shift/local-time.ts';
import { rowsInOrder } from './rows-in-order.ts';
import type { PointRows } from './shift-data.ts';

export const CSV_COLUMNS = ['time_utc', 'time_local', 'owner', 'point', 'value', 'unit_ucum', 'quality', 'reason', 'late', 'received_utc', 'sequence'] as const;

/**
 * Text that a spreadsheet would take for a formula gets an apostrophe in front (OWASP, CSV injection; a tab in front is itself unsafe).
 * Only text: a negative number stays a number.
 */
export function guardText(text: string): string {
  return /^[=+\-@\t\r\n]/.test(text) ? `'${text}` : text;
}

/** Rows as CSV by RFC 4180: CRLF, a header, UTF-8; times in UTC and as the site's clock showed them. */
export function traceCsv(points: readonly PointRows[], zone: string): string {
  const iso = (ms: number): string => new Date(ms).toISOString();
  const records = rowsInOrder(points).map(({ rows, index }) => {
    const atMs = rows.atMs[index] ?? 0;
    const receivedAtMs = rows.receivedAtMs[index] ?? null;
    const value = rows.value[index] ?? null;
    return [iso(atMs), localTime(atMs, zone), guardText(rows.owner), guardText(rows.point), value === null ? '' : String(value), guardText(rows.unit), rows.quality[index] ?? '', rows.reason[index] ?? '', rows.late[index] ? 'true' : 'false', receivedAtMs === null ? '' : iso(receivedAtMs), String(rows.sequence[index] ?? '')];
  });
  return stringify([[...CSV_COLUMNS], ...records], { record_delimiter: 'windows' });
}
