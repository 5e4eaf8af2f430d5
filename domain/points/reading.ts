/** How far a value may be trusted. Judged before the value itself. */
export type Quality = 'good' | 'uncertain' | 'bad';

/** Why a reading is not good. Closed: a new reason is a change of the contract. */
export const QUALITY_REASONS = [
  'stale',
  'never-seen',
  'undecodable',
  'not-a-number',
  'out-of-range',
  'loop-fault-low',
  'loop-fault-high',
  'loop-saturated',
  'clock-suspect',
  'node-offline',
  'sequence-gap',
  'reported-bad',
  'input-missing',
  'input-bad',
  'input-uncertain',
  'not-computable',
  'no-flow',
  'no-trend',
  'calm',
] as const;
export type QualityReason = (typeof QUALITY_REASONS)[number];

/** One measured value as the gateway took it in. Value in the point's default unit, on its grid; null where there is none. */
export interface Reading {
  /** Rig, compressor or site id. */
  readonly owner: string;
  /** Id in the catalogue of points. */
  readonly point: string;
  /** The sensor's own time where the payload has one, else the time of receipt. */
  readonly observedAtMs: number;
  /** The gateway's time of receipt. */
  readonly receivedAtMs: number;
  readonly value: number | null;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
}

/** `<owner>/<point>`: names one point within a site. */
export type PointKey = `${string}/${string}`;

export function pointKey(owner: string, point: string): PointKey {
  return `${owner}/${point}`;
}

/** The worse of two qualities. */
export function worseQuality(a: Quality, b: Quality): Quality {
  const rank = { good: 0, uncertain: 1, bad: 2 } as const;
  return rank[a] >= rank[b] ? a : b;
}

/**
 * A value on the grid of a resolution, as the shortest decimal: 96.4, not 96.4000001.
 * A value too large for the grid to be exact is returned untouched.
 */
export function onGrid(value: number, resolution: number): number {
  const steps = Math.round(value / resolution);
  if (!Number.isSafeInteger(steps)) return value;
  // Dividing by a whole number rounds once, so 0.1 gives the nearest double to the decimal; multiplying by 0.1 does not.
  const perUnit = Math.round(1 / resolution);
  const gridded = perUnit * resolution === 1 ? steps / perUnit : steps * resolution;
  return gridded === 0 ? 0 : gridded;
}
