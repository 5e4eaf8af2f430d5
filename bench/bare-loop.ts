import type { LoggedReading } from '../domain/site/log.ts';

/** The floor of what is done with readings: keep the latest value of each, compare one limit. Answers how many were above it. */
export function bareLoop(batches: readonly (readonly LoggedReading[])[]): number {
  const latest = new Map<string, number>();
  let above = 0;
  for (const batch of batches) {
    for (const { owner, point, value } of batch) {
      if (value === null || !Number.isFinite(value)) continue;
      latest.set(`${owner}/${point}`, value);
      if (value >= 10) above += 1;
    }
  }
  return above;
}

/** Readings a second of some work over them. */
export function readingsPerSecond(batches: readonly (readonly LoggedReading[])[], work: () => void): number {
  const readings = batches.reduce((sum, batch) => sum + batch.length, 0);
  const begun = performance.now();
  work();
  return readings / ((performance.now() - begun) / 1000);
}
