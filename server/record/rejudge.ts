import { setImmediate as pause } from 'node:timers/promises';
import type { Shift } from '../../domain/shift/shift.ts';
import { type AlarmChanges, type Judged, Recomputation } from '../../domain/site/rejudge.ts';
import { layOut } from '../../domain/site/topology.ts';
import type { Store } from './store.ts';

/** Folded at a stretch; then the live fold has its turn. */
const SLICE_MS = 4;
/** The clock is looked at once in so many entries. */
const ENTRIES = 8;

export interface Rejudged {
  readonly before: Judged;
  readonly after: Judged;
  /** Log time that was folded, ms. */
  readonly spanMs: number;
}

/** One shift twice over the same recorded entries: under the settings of its time, and under changed ones. */
export async function rejudgeShift(store: Store, site: string, shift: Shift, changes: AlarmChanges, nowMs: number): Promise<Rejudged> {
  const start = await store.shiftStart(site, shift.id, shift.startedAtMs);
  const toMs = shift.endedAtMs ?? nowMs;
  const before = new Recomputation(start, {});
  const after = new Recomputation(start, changes);
  const keys = new Map<string, string | null>();
  const keyOf = (occurrence: string): string | null => keys.get(occurrence) ?? null;
  let config = start.config;
  let [firstMs, lastMs, count, since] = [shift.startedAtMs, toMs, 0, performance.now()];
  for await (const entry of store.readLog(site, start.seq)) {
    if (entry.atMs > toMs) break;
    if (count === 0) firstMs = entry.atMs;
    lastMs = entry.atMs;
    if (entry.kind === 'config') config = entry.config;
    if (entry.kind === 'action' && 'alarm' in entry.action && !keys.has(entry.action.alarm)) keys.set(entry.action.alarm, await recordedKey(store, site, entry.action.alarm));
    before.take(entry, keyOf);
    after.take(entry, keyOf);
    count += 1;
    if (count % ENTRIES !== 0 || performance.now() - since < SLICE_MS) continue;
    await pause();
    since = performance.now();
  }
  const owners = (config && layOut(config).owners.get(shift.rig)?.sees) ?? [shift.rig];
  return { before: before.judged(shift.startedAtMs, toMs, owners), after: after.judged(shift.startedAtMs, toMs, owners), spanMs: Math.max(1, lastMs - firstMs) };
}

/** Which alarm an occurrence belonged to, by what the journal tells of it. */
async function recordedKey(store: Store, site: string, occurrence: string): Promise<string | null> {
  const row = (await store.journal(site, { alarm: occurrence, limit: 50 })).find(({ kind }) => kind === 'alarm');
  return row ? `${String(row.detail['name'])}@${row.owner ?? ''}/${String(row.detail['point'])}` : null;
}
