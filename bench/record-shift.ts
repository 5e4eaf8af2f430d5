import type { LogEntry } from '../domain/site/log.ts';
import { SiteEvaluator } from '../domain/site/site-evaluator.ts';
import type { LoggedEffects, Store } from '../server/record/store.ts';
import { shiftBatches } from './shift-batches.ts';

export interface RecordedShift {
  readonly site: string;
  readonly startAtMs: number;
  readonly endAtMs: number;
  /** Readings and computed values. */
  readonly samples: number;
  readonly points: readonly { readonly owner: string; readonly point: string }[];
}

/** Records a simulated shift as the server would: folded, a batch a second, with what was computed. */
export async function recordShift(store: Store, rigs: number, seconds: number): Promise<RecordedShift> {
  const { config, startAtMs, batches } = shiftBatches(rigs, seconds);
  const site = config.site.id;
  const evaluator = new SiteEvaluator(site);
  const points = new Map<string, { owner: string; point: string }>();
  let logged: LoggedEffects[] = [];
  let samples = 0;
  let sequence = 0;
  const commit = async (): Promise<void> => {
    await store.commit({ site, logged, cursors: [], snapshot: evaluator.save() });
    logged = [];
  };
  const apply = (entry: LogEntry): void => {
    const effects = evaluator.apply(entry);
    for (const { owner, point } of effects.computed) points.set(`${owner}/${point}`, { owner, point });
    samples += effects.computed.length + (entry.kind === 'batch' ? entry.readings.length : 0);
    logged.push({ entry, effects });
  };
  apply({ seq: 1, atMs: startAtMs, kind: 'config', version: 'bench', config });
  for (const rig of config.rigs) apply({ seq: evaluator.seq + 1, atMs: startAtMs, kind: 'action', action: { kind: 'start-shift', rig: rig.id, key: `start ${rig.id}`, by: 'bench', role: 'supervisor', from: 'bench' } });
  for (const [second, batch] of batches.entries()) {
    for (const { owner, point } of batch) points.set(`${owner}/${point}`, { owner, point });
    const readings = batch.map((reading) => ({ ...reading, sequence: ++sequence }));
    if (readings.length > 0) apply({ seq: evaluator.seq + 1, atMs: startAtMs + (second + 1) * 1000 + (second % 7), kind: 'batch', origin: 'gateway/epoch', readings });
    if (logged.length >= 2000) await commit();
  }
  await commit();
  return { site, startAtMs, endAtMs: startAtMs + seconds * 1000, samples, points: [...points.values()] };
}
