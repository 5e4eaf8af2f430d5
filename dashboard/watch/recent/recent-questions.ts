import { findPointKind } from '../../../domain/points/catalogue.ts';
import { type PointKey, pointKey } from '../../../domain/points/reading.ts';
import type { LivePoint, LiveRig } from '../../../domain/wire/live.ts';
import { findRigPoint } from '../../link/site-facts.ts';

/** What Watch draws a short trace of. */
const TRACED = [
  'breathing-air-co', 'breathing-air-pressure', 'breathing-air-oxygen', 'compressor-pressure', 'separator-pressure', 'supply-pressure', 'nozzle-pressure',
  'steel-margin', 'steel-temperature', 'air-line-dew-point', 'line-atmospheric-dew-point', 'ambient-dew-point', 'ambient-temperature', 'ambient-humidity', 'wind-speed',
] as const;

/** One question about one rig's history; a rig also sees its compressor's and its site's points. */
export interface RecentQuestion {
  readonly rig: string;
  readonly points: readonly string[];
}

/** What to ask so that each traced point comes once: those shared by several rigs are asked of the first. */
export function recentQuestions(rigs: readonly LiveRig[], points: ReadonlyMap<PointKey, LivePoint>): readonly RecentQuestion[] {
  const asked = new Set<PointKey>();
  return rigs.map((rig) => ({
    rig: rig.id,
    points: TRACED.filter((id) => {
      // The server refuses a question about a point that the rig doesn't have.
      const point = findRigPoint(points, rig, id);
      if (!point) return false;
      const key = pointKey(point.owner, id);
      if (asked.has(key)) return false;
      asked.add(key);
      return true;
    }),
  }));
}

/** By a point's unit: what a short trace's height stands for at the least. */
const LEAST_SPAN: Readonly<Record<string, number>> = { '[psi]': 10, '[ppm]': 6, '%': 4, Cel: 2, 'm/s': 3 };

export function leastSpanOf(id: string): number {
  return LEAST_SPAN[findPointKind(id)?.unit ?? ''] ?? 1;
}
