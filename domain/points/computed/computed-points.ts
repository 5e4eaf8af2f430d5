import { type PointKind, needPointKind, type OwnerKind } from '../catalogue.ts';
import { AIR_POINTS } from './air-points.ts';
import { CLIMATE_POINTS } from './climate-points.ts';
import type { ComputedPoint } from './computed-point.ts';
import { EXPOSURE_POINTS } from './exposure-points.ts';
import { TRIGGER_POINTS } from './trigger-points.ts';

/** All computed points, in order: a point comes after those it needs. */
export const COMPUTED_POINTS: readonly ComputedPoint[] = [...CLIMATE_POINTS, ...AIR_POINTS, ...TRIGGER_POINTS, ...EXPOSURE_POINTS];

export interface OwnersPoint extends ComputedPoint {
  readonly kind: PointKind;
}

const BY_OWNER = new Map<OwnerKind, OwnersPoint[]>();
for (const point of COMPUTED_POINTS) {
  const kind = needPointKind(point.id);
  BY_OWNER.set(kind.owner, [...(BY_OWNER.get(kind.owner) ?? []), { ...point, kind }]);
}

/** The computed points of a rig, a compressor or a site. */
export function computedPointsOf(owner: OwnerKind): readonly OwnersPoint[] {
  return BY_OWNER.get(owner) ?? [];
}
