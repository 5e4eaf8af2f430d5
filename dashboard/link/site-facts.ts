import { findPointKind } from '../../domain/points/catalogue.ts';
import { type PointKey, pointKey } from '../../domain/points/reading.ts';
import type { LivePoint, LiveSite } from '../../domain/wire/live.ts';

/** Everything that can own a point at a site. */
export function ownersOf(site: LiveSite): readonly string[] {
  return [site.id, ...site.compressors.map((c) => c.id), ...site.rigs.map((r) => r.id)];
}

export interface SensorFacts {
  /** Newest sign that the gateway lives: its own, or any reading that came through it. */
  readonly gatewayAtMs: number | null;
  readonly silentSensors: number;
  /** Observation time of the oldest measured point that still counts as good. */
  readonly oldestAtMs: number | null;
}

/** Sums up a site's measured points for the link line. */
export function readSensorFacts(site: LiveSite, points: ReadonlyMap<PointKey, LivePoint>): SensorFacts {
  const owners = new Set(ownersOf(site));
  let gatewayAtMs = site.gatewayAtMs;
  let silentSensors = 0;
  let oldestAtMs: number | null = null;
  for (const point of points.values()) {
    if (!owners.has(point.owner) || findPointKind(point.id)?.origin !== 'measured') continue;
    if (point.reason === 'stale') silentSensors += 1;
    if (point.atMs === null) continue;
    if (gatewayAtMs === null || point.atMs > gatewayAtMs) gatewayAtMs = point.atMs;
    if (point.quality === 'good' && (oldestAtMs === null || point.atMs < oldestAtMs)) oldestAtMs = point.atMs;
  }
  return { gatewayAtMs, silentSensors, oldestAtMs };
}

/** Where a rig finds a point: its own, its compressor's or its site's. */
export function findRigPoint(
  points: ReadonlyMap<PointKey, LivePoint>,
  rig: { readonly id: string; readonly compressor: string | null; readonly site: string },
  id: string,
): LivePoint | undefined {
  const kind = findPointKind(id);
  const owner = kind?.owner === 'site' ? rig.site : kind?.owner === 'compressor' ? rig.compressor : rig.id;
  return owner === null ? undefined : points.get(pointKey(owner, id));
}
