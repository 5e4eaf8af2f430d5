import { SiteEvaluator } from '../domain/site/site-evaluator.ts';
import { bareLoop, readingsPerSecond } from './bare-loop.ts';
import { measure, type Result } from './measure.ts';
import { shiftBatches } from './shift-batches.ts';

/** Readings a second through the fold: computed points, quality, alarms. Floor: a loop that keeps the latest value and compares one limit. */
export function benchFold(): Promise<Result> {
  const { config, startAtMs, batches } = shiftBatches(4, 1800);
  const floor = (): number => readingsPerSecond(batches, () => void bareLoop(batches));
  const product = (): number =>
    readingsPerSecond(batches, () => {
      const evaluator = new SiteEvaluator(config.site.id);
      evaluator.apply({ seq: 1, atMs: startAtMs, kind: 'config', version: 'bench', config });
      batches.forEach((batch, second) => evaluator.apply({ seq: second + 2, atMs: startAtMs + (second + 1) * 1000, kind: 'batch', origin: '', readings: batch }));
    });
  return measure('fold: readings a second on one core', '1/s', floor, product);
}
