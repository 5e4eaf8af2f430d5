import { SiteEvaluator } from '../domain/site/site-evaluator.ts';
import { measure, type Result } from './measure.ts';
import { shiftBatches } from './shift-batches.ts';

/** Readings a second through the fold: computed points, quality, alarms. Floor: a loop that keeps the latest value and compares one limit. */
export function benchFold(): Promise<Result> {
  const { config, startAtMs, batches } = shiftBatches(4, 1800);
  const readings = batches.reduce((sum, batch) => sum + batch.length, 0);
  const timed = (work: () => void): number => {
    const begun = performance.now();
    work();
    return readings / ((performance.now() - begun) / 1000);
  };
  const floor = (): number =>
    timed(() => {
      const latest = new Map<string, number>();
      let above = 0;
      for (const batch of batches) {
        for (const { owner, point, value } of batch) {
          if (value === null || !Number.isFinite(value)) continue;
          latest.set(`${owner}/${point}`, value);
          if (value >= 10) above += 1;
        }
      }
      if (above < 0) throw new Error('unreachable');
    });
  const product = (): number =>
    timed(() => {
      const evaluator = new SiteEvaluator(config.site.id);
      evaluator.apply({ seq: 1, atMs: startAtMs, kind: 'config', version: 'bench', config });
      batches.forEach((batch, second) => evaluator.apply({ seq: second + 2, atMs: startAtMs + (second + 1) * 1000, kind: 'batch', readings: batch }));
    });
  return measure('fold: readings a second on one core', '1/s', floor, product);
}
