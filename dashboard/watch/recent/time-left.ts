import { nextTrend, openTrend, readTrend } from '../../../domain/trend/robust-trend.ts';
import { timeToLimit } from '../../../domain/trend/time-to-limit.ts';
import type { LivePoint } from '../../../domain/wire/live.ts';
import type { Column } from '../../chart/column.ts';
import { limitsOf } from '../../format/describe-point.ts';

/** What drifts. Pressures of the line go up and down with the handle: a step there is no trend, so none is looked for. */
const DRIFTING: ReadonlySet<string> = new Set(['breathing-air-co', 'breathing-air-pressure', 'breathing-air-oxygen', 'ambient-humidity']);

const SLOT_MS = 30_000;
/** Ten minutes tell nothing of more than an hour (our judgement, no source). */
const FARTHEST_S = 3_600;
/** A time is told only where the slowest pace that the readings allow takes no more than so many times as long as the likely one. */
const LATEST_TO_LIKELY = 2;

/** Seconds until a value reaches its next limit if it goes on as in the last minutes; null wherever that is not clear. Pure. */
export function timeLeftS(point: LivePoint | undefined, column: Column): number | null {
  if (point?.quality !== 'good' || !DRIFTING.has(point.id)) return null;
  let slots = openTrend(SLOT_MS);
  column.atMs.forEach((atMs, place) => {
    const low = column.min[place] ?? null;
    const high = column.max[place] ?? null;
    if (low !== null && high !== null) slots = nextTrend(slots, atMs, (low + high) / 2);
  });
  const trend = readTrend(slots);
  const times = limitsOf(point).flatMap(({ limit, side }) => {
    const left = timeToLimit(trend, limit, side);
    return left.kind === 'approaching' && left.likely <= FARTHEST_S && left.latest <= LATEST_TO_LIKELY * left.likely ? [left.likely] : [];
  });
  return times.length === 0 ? null : Math.min(...times);
}
