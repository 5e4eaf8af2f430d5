import type { Sqlite } from '../../host/open-sqlite.ts';

/** What somebody breathes, and the handle: these go last. */
const CRITICAL = ['breathing-air-co', 'breathing-air-pressure', 'breathing-air-oxygen', 'reserve-air-pressure', 'remote-control'];
const IS_CRITICAL = `point IN (${CRITICAL.map((point) => `'${point}'`).join(', ')})`;
/** Of the others one a minute stays, while that makes room. */
const THINNED_TO_MS = 60_000;
/** Rows looked at in one go: some tens of milliseconds. */
const CHUNK = 20_000;

export interface RoomMade {
  readonly dropped: number;
  readonly givenUp: number;
}

/**
 * Makes room in a full outbox, in this order: what at least one server has; then, oldest first, all but one reading a minute of each
 * point that is not critical; then the oldest that are not critical; then the oldest. Nothing is dropped that the next step could have
 * spared.
 */
export function makeRoom(database: Sqlite, releasable: number): RoomMade {
  const run = (sql: string, ...bound: number[]): number => database.prepare(sql).run(...bound).changes;
  const givenUp = run('DELETE FROM reading WHERE sequence <= ?', releasable);
  if (givenUp > 0) {
    run('DELETE FROM link WHERE through <= ?', releasable);
    return { dropped: 0, givenUp };
  }
  const thinned = thinOldest(database);
  if (thinned > 0) return { dropped: thinned, givenUp: 0 };
  const usual = run(`DELETE FROM reading WHERE sequence IN (SELECT sequence FROM reading WHERE NOT (${IS_CRITICAL}) ORDER BY sequence LIMIT ?)`, CHUNK / 4);
  if (usual > 0) return { dropped: usual, givenUp: 0 };
  return { dropped: run('DELETE FROM reading WHERE sequence IN (SELECT sequence FROM reading ORDER BY sequence LIMIT ?)', CHUNK / 4), givenUp: 0 };
}

/** Thins the oldest stretch that was not thinned yet; how far that has come is kept with the data. */
function thinOldest(database: Sqlite): number {
  const known = database.prepare("SELECT value FROM meta WHERE key = 'thinned'").get() as { value: string } | undefined;
  for (let from = Number(known?.value ?? 0); ; ) {
    const { through, count } = database.prepare('SELECT max(sequence) AS through, count(*) AS count FROM (SELECT sequence FROM reading WHERE sequence > ? ORDER BY sequence LIMIT ?)').get(from, CHUNK) as { through: number | null; count: number };
    // The newest stretch is left as it is: it is what is live.
    if (through === null || count < CHUNK) return 0;
    const { changes } = database
      .prepare(
        `DELETE FROM reading WHERE sequence > ? AND sequence <= ? AND NOT (${IS_CRITICAL}) AND sequence NOT IN (
           SELECT min(sequence) FROM reading WHERE sequence > ? AND sequence <= ? GROUP BY owner, point, received_ms / ${THINNED_TO_MS})`,
      )
      .run(from, through, from, through);
    // Of the chains only the newest link of a thinned stretch is of use: what follows is checked from there.
    database.prepare('DELETE FROM link WHERE through > ? AND through <= ? AND through NOT IN (SELECT max(through) FROM link WHERE through > ? AND through <= ? GROUP BY owner)').run(from, through, from, through);
    database.prepare("INSERT OR REPLACE INTO meta (key, value) VALUES ('thinned', ?)").run(String(through));
    if (changes > 0) return changes;
    from = through;
  }
}
