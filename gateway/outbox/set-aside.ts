import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { inTransaction, type Sqlite } from '../../host/open-sqlite.ts';

/** More than a person looks at; beyond it the oldest go, and are counted as dropped. */
const KEPT = 10_000;

/** A reading that a server will not take, kept for a person to look at. */
export interface SetAsideReading {
  readonly uplink: string;
  readonly atMs: number;
  /** The server's words. */
  readonly reason: string;
  readonly reading: SequencedReading;
}

/** Keeps a reading; put in twice, after a crash in between, it is there once. Answers with how many older ones had to go. */
export function setAside(sqlite: Sqlite, { uplink, atMs, reason, reading }: SetAsideReading): number {
  let gone = 0;
  inTransaction(sqlite, () => {
    sqlite.prepare('INSERT OR IGNORE INTO set_aside (uplink, sequence, at_ms, reason, reading) VALUES (?, ?, ?, ?, ?)').run(uplink, reading.sequence, atMs, reason, JSON.stringify(reading));
    gone = sqlite.prepare('DELETE FROM set_aside WHERE id <= (SELECT max(id) FROM set_aside) - ?').run(KEPT).changes;
  })();
  return gone;
}

/** How many were set aside for an uplink since the outbox was made. */
export function countSetAside(sqlite: Sqlite): Map<string, number> {
  const rows = sqlite.prepare('SELECT uplink, count(*) AS count FROM set_aside GROUP BY uplink').all() as { uplink: string; count: number }[];
  return new Map(rows.map(({ uplink, count }) => [uplink, count]));
}

/** All that is kept, oldest first. */
export function listSetAside(sqlite: Sqlite): SetAsideReading[] {
  const rows = sqlite.prepare('SELECT uplink, at_ms, reason, reading FROM set_aside ORDER BY id').all() as { uplink: string; at_ms: number; reason: string; reading: string }[];
  return rows.map(({ uplink, at_ms: atMs, reason, reading }) => ({ uplink, atMs, reason, reading: JSON.parse(reading) as SequencedReading }));
}
