import { join } from 'node:path';
import { SiteEvaluator } from '../../../domain/site/site-evaluator.ts';
import { openSqlite } from '../../../host/open-sqlite.ts';
import { journalRows } from '../../../server/record/journal-rows.ts';
import { openSqliteStore } from '../../../server/record/sqlite-store.ts';
import { noticesOf } from '../../../server/notify/notice.ts';
import { checkChain } from './check-chain.ts';
import { checkNotices } from './check-notices.ts';
import type { Oracle, Sent } from './oracle.ts';

export interface Verdict {
  /** Acknowledged and not stored. */
  readonly lost: string[];
  /** Stored more than once. */
  readonly twice: string[];
  /** Stored and never sent. */
  readonly phantoms: string[];
  /** Rigs with another number of CO alarms than the one or none that the stored readings call for. */
  readonly wrongAlarms: string[];
  /** Rows of the journal that a replay of the stored log does not give byte for byte, or gives besides. */
  readonly replayDiffers: string[];
  /** Links of the gateway's hash chains that the stored readings do not give. */
  readonly brokenLinks: string[];
  /** Notices that are missing, nobody's, never came, or came too often. */
  readonly wrongNotices: string[];
  /** Readings stored, and alarms raised. */
  readonly stored: number;
  readonly raised: number;
}

export const SOUND: Omit<Verdict, 'stored' | 'raised'> = { lost: [], twice: [], phantoms: [], wrongAlarms: [], replayDiffers: [], brokenLinks: [], wrongNotices: [] };

/** Holds a record against what is true of it. `taken` is what the webhook of the site's plan was handed. */
export async function checkRecord(dirs: { readonly server: string; readonly gateway: string }, site: string, oracle: Oracle, taken: readonly { readonly id: string }[]): Promise<Verdict> {
  const file = join(dirs.server, 'record.db');
  const rows = readRows(file);
  const counts = new Map<string, number>();
  for (const row of rows) counts.set(nameOf(row), (counts.get(nameOf(row)) ?? 0) + 1);
  const sent = new Set(oracle.sent.map(nameOf));
  const { raised, replayDiffers, notices } = await replay(file, site);
  const wrongAlarms = oracle.rigs.flatMap((rig) => {
    const expected = rows.some((row) => row.rig === rig && row.point === 'breathing-air-co' && row.value >= 10 && !row.late) ? 1 : 0;
    const found = raised.filter((owner) => owner === rig).length;
    return found === expected ? [] : [`${rig}: ${found} alarms, expected ${expected}`];
  });
  return {
    lost: [...oracle.acknowledged].map((at) => nameOf(oracle.sent[at] as Sent)).filter((name) => !counts.has(name)),
    twice: [...counts].filter(([, times]) => times > 1).map(([name]) => name),
    phantoms: [...counts.keys()].filter((name) => !sent.has(name)),
    wrongAlarms,
    replayDiffers,
    brokenLinks: checkChain(dirs.server, dirs.gateway),
    wrongNotices: checkNotices(dirs.server, notices, taken),
    stored: rows.length,
    raised: raised.length,
  };
}

/** How much of what was acknowledged is not in the record yet. */
export function countLost(dataDir: string, oracle: Oracle): number {
  const stored = new Set(readRows(join(dataDir, 'record.db')).map(nameOf));
  return [...oracle.acknowledged].filter((at) => !stored.has(nameOf(oracle.sent[at] as Sent))).length;
}

function nameOf({ rig, point, value, atMs }: Sent): string {
  return `${rig}/${point} ${value} at ${atMs}`;
}

function readRows(file: string): (Sent & { late: boolean })[] {
  const database = openSqlite(file);
  const rows = database.prepare('SELECT owner, point, value, observed_ms, late FROM reading JOIN series ON series.id = reading.series WHERE value IS NOT NULL').raw().all() as [string, string, number, number, number][];
  database.close();
  return rows.map(([rig, point, value, atMs, late]) => ({ rig, point, value, atMs, late: late === 1 }));
}

/** Folds the whole stored log anew and compares what the journal would say of alarms; with the notices that it calls for. */
async function replay(file: string, site: string): Promise<{ raised: string[]; replayDiffers: string[]; notices: string[] }> {
  const { store, database } = openSqliteStore(file);
  const written = (database.prepare("SELECT seq, n, at_ms, owner, detail FROM journal WHERE site = ? AND kind = 'alarm' ORDER BY seq, n").all(site) as { seq: number; n: number; at_ms: number; owner: string; detail: string }[]).map((row) => `${row.seq} ${row.n} ${row.at_ms} ${row.owner} ${row.detail}`);
  const evaluator = new SiteEvaluator(site);
  const raised: string[] = [];
  const told: string[] = [];
  const notices: string[] = [];
  for await (const entry of store.readLog(site, 0)) {
    const effects = evaluator.apply(entry);
    for (const { what, rule, owner } of effects.transitions) if (what === 'raised' && rule.name === 'co-high') raised.push(owner);
    for (const { id } of noticesOf(site, { entry, effects }, evaluator.config?.notify ?? null)) notices.push(id);
    for (const row of journalRows(entry, effects)) if (row.kind === 'alarm') told.push(`${entry.seq} ${row.n} ${row.atMs} ${row.owner} ${JSON.stringify(row.detail)}`);
  }
  await store.close();
  const differs = [...written.filter((row) => !told.includes(row)), ...told.filter((row) => !written.includes(row))];
  return { raised, replayDiffers: differs, notices };
}
