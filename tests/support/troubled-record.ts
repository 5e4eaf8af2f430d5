import type { LogEntry, LoggedReading } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { LoggedEffects, Store } from '../../server/record/store.ts';
import { seeded } from './seeded.ts';
import { testSite } from './site.ts';
import { collect } from './collect.ts';

export const HOUR_MS = 3_600_000;
export const START_MS = Date.UTC(2026, 5, 1, 6, 10);

type Draft = LogEntry extends infer E ? (E extends LogEntry ? Omit<E, 'seq' | 'atMs'> : never) : never;

const POINTS: readonly (readonly [owner: string, point: string, level: number])[] = [
  ['rig-a', 'supply-pressure', 105],
  ['rig-a', 'breathing-air-co', 2],
  ['rig-a', 'air-line-dew-point', -4],
  ['rig-b', 'nozzle-pressure', 95],
  ['comp-1', 'air-flow', 640],
  ['pier-9', 'ambient-humidity', 70],
];

/**
 * Records some hours of trouble: values off their grid and missing, every quality, late readings of hours ago, a device whose clock
 * stands in 1970, two gateways, ticks, actions. The same seed gives the same record.
 */
export async function recordTrouble(store: Store, hours: number, seed = 1, everyMs = 20_000): Promise<void> {
  const next = seeded(seed);
  const evaluator = new SiteEvaluator('pier-9');
  const logged: LoggedEffects[] = [];
  const apply = (atMs: number, draft: Draft): void => {
    const entry = { ...draft, seq: evaluator.seq + 1, atMs } as LogEntry;
    logged.push({ entry, effects: evaluator.apply(entry) });
  };
  const sequences = [0, 0];
  apply(START_MS, { kind: 'config', version: 'v1', config: testSite() });
  apply(START_MS, { kind: 'action', action: { kind: 'start-shift', rig: 'rig-a', key: 'k0', by: 'dana', role: 'supervisor', from: 'test' } });
  for (let atMs = START_MS; atMs < START_MS + hours * HOUR_MS; atMs += everyMs) {
    if (next() < 0.1) apply(atMs, { kind: 'tick' });
    if (next() < 0.02) apply(atMs, { kind: 'action', action: { kind: 'entry', rig: 'rig-a', entry: 'spot', value: Math.round(next() * 9), place: 'web', text: '', key: `k${atMs}`, by: 'dana', role: 'tender', from: 'test' } as never });
    const gateway = next() < 0.1 ? 1 : 0;
    const readings = POINTS.filter(() => next() < 0.8).map(([owner, point, level]): LoggedReading => {
      const kind = next();
      const late = kind < 0.05;
      const observedAtMs = kind < 0.03 ? atMs - Math.round(next() * 3 * HOUR_MS) : kind < 0.04 ? Math.round(next() * 1e6) : atMs - Math.round(next() * 900);
      const value = kind > 0.9 && kind < 0.92 ? null : kind > 0.95 ? level + next() : Math.round((level + (next() - 0.5) * 4) * 10) / 10 + 0;
      const quality = value === null ? 'bad' : kind > 0.88 && kind < 0.9 ? 'uncertain' : kind > 0.93 && kind < 0.94 ? 'bad' : 'good';
      const reason = quality === 'good' ? null : quality === 'uncertain' ? 'loop-saturated' : value === null ? 'undecodable' : 'out-of-range';
      return { owner, point, observedAtMs, receivedAtMs: atMs, value, quality, reason, late, sequence: (sequences[gateway] = (sequences[gateway] ?? 0) + 1) };
    });
    if (readings.length > 0) apply(atMs + 40, { kind: 'batch', origin: `gateway-${gateway}/epoch`, readings });
  }
  while (logged.length > 0) await store.commit({ site: 'pier-9', logged: logged.splice(0, 500), cursors: [], snapshot: null });
  await store.commit({ site: 'pier-9', logged: [], cursors: [], snapshot: evaluator.save() });
}

/** Everything a record answers with that packing must leave alone. */
export async function answersOf(store: Store): Promise<unknown> {
  const series = [...POINTS.map(([owner, point]) => [owner, point] as const), ['rig-a', 'co-average-15min'], ['rig-a', 'blasting'], ['pier-9', 'ambient-dew-point']] as const;
  return {
    log: (await collect(store.readLog('pier-9', 0))),
    newest: await store.newestAtMs(),
    samples: await Promise.all(series.map(([owner, point]) => collect(store.samples('pier-9', owner, point, 0, START_MS + 100 * HOUR_MS)))),
    // Cuts through hours and through the ragged edges of blocks.
    part: await Promise.all(series.map(([owner, point]) => collect(store.samples('pier-9', owner, point, START_MS + 1.4 * HOUR_MS + 7, START_MS + 2.9 * HOUR_MS)))),
    readings: await Promise.all(POINTS.map(([owner, point]) => store.readings('pier-9', owner, point, START_MS - HOUR_MS, START_MS + 2.5 * HOUR_MS))),
    journal: await store.journal('pier-9', { limit: 10_000 }),
  };
}
