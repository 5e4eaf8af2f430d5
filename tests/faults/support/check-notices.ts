import { join } from 'node:path';
import { openSqlite } from '../../../host/open-sqlite.ts';

interface DeliveryRow {
  readonly id: string;
  readonly notice: string;
  readonly batch: string | null;
  readonly state: string;
}

/** A killed server may have sent what it had not noted yet: once more, with the same id. */
const TIMES = 2;

/**
 * Holds what a webhook took against the record: each notice that the fold of the log calls for is there and no other; each was handed
 * over and really came, no more than twice and under one id; nothing came that no notice calls for.
 */
export function checkNotices(serverDir: string, due: readonly string[], taken: readonly { readonly id: string }[]): string[] {
  const record = openSqlite(join(serverDir, 'record.db'));
  const kept = (record.prepare('SELECT id FROM notice').all() as { id: string }[]).map(({ id }) => id);
  const deliveries = record.prepare("SELECT id, notice, batch, state FROM delivery WHERE channel = 'webhook'").all() as DeliveryRow[];
  record.close();
  const times = new Map<string, number>();
  for (const { id } of taken) times.set(id, (times.get(id) ?? 0) + 1);
  return [
    ...due.filter((id) => !kept.includes(id)).map((id) => `${id} is missing`),
    ...kept.filter((id) => !due.includes(id)).map((id) => `${id} is nobody’s`),
    ...deliveries.filter(({ id, batch, state }) => state === 'accepted' && !times.has(batch ?? id)).map(({ notice }) => `${notice} never came`),
    ...[...times].filter(([, count]) => count > TIMES).map(([id, count]) => `${id} came ${count} times`),
    ...[...times.keys()].filter((id) => !deliveries.some((one) => one.id === id || one.batch === id)).map((id) => `${id} came from nowhere`),
  ];
}

/** Notices of urgent alarms that the webhook has not been handed yet. A delivery that a killed server left in doubt twice is over too. */
export function countUntold(serverDir: string): number {
  const record = openSqlite(join(serverDir, 'record.db'));
  const { untold } = record
    .prepare("SELECT count(*) AS untold FROM notice WHERE json_extract(body, '$.priority') IN ('critical', 'high') AND NOT EXISTS (SELECT 1 FROM delivery WHERE delivery.notice = notice.id AND state NOT IN ('waiting', 'sending'))")
    .get() as { untold: number };
  record.close();
  return untold;
}
