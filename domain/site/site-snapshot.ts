import type { PointKey } from '../points/reading.ts';
import type { SiteConfig } from '../shift/site-config.ts';
import type { Shift } from '../shift/shift.ts';
import type { SavedAnnunciation } from './annunciation.ts';
import type { LateStretch } from './late-stretch.ts';
import type { SavedAlarm } from './site-alarm.ts';
import type { SavedSituations } from './site-situations.ts';
import { type PointState, type SavedPoint, loadPoint, savePoint } from './point-state.ts';

/** Raised when the fold would come out differently; a snapshot of another version is not loaded but replayed from the log. */
export const EVALUATOR_VERSION = 14;

/** A site's state as JSON, at one position of its log. */
export interface SiteSnapshot {
  readonly version: number;
  readonly site: string;
  readonly seq: number;
  readonly atMs: number;
  readonly config: SiteConfig | null;
  readonly configVersion: string | null;
  readonly points: readonly SavedPoint[];
  readonly alarms: readonly (readonly [string, SavedAlarm])[];
  readonly situations: SavedSituations;
  readonly annunciation: SavedAnnunciation;
  readonly late: LateStretch | null;
  readonly shifts: readonly Shift[];
  readonly blastingSince: readonly (readonly [string, number])[];
  readonly timers: readonly (readonly [string, number])[];
}

export function saveSite({ points, ...rest }: Omit<SiteSnapshot, 'points'> & { points: ReadonlyMap<PointKey, PointState> }): SiteSnapshot {
  // The arrays are copied: a snapshot must not change with the state it was taken of.
  return { ...rest, points: [...points.values()].map(savePoint) };
}

export function loadPoints(snapshot: SiteSnapshot): Map<PointKey, PointState> {
  const points = new Map<PointKey, PointState>();
  for (const saved of snapshot.points) {
    const point = loadPoint(saved);
    if (point) points.set(point.key, point);
  }
  return points;
}
