import { type AbsolutePressure, type GaugePressure, atmosphereAt, gauge } from '../quantity/pressure.ts';
import { type Interval, TO_95 } from '../quantity/propagate.ts';
import type { PressurePair } from './bore-change.ts';
import { estimateNozzlePressure } from './estimate-nozzle-pressure.ts';
import { type SegmentResidual, type Verdict, likelyCause } from './likely-cause.ts';
import { type LineUncertainty, WITHOUT_BASELINE, lineProfile } from './line-profile.ts';
import { blastLine } from './line.ts';
import { segmentResiduals } from './segment-residuals.ts';

/** A rig's blast hose and nozzle as built, with where it stands. */
export interface BuiltLine {
  /** Metres above sea level. */
  readonly elevation: number;
  readonly hose: { readonly bore: number; readonly length: number } | null;
  readonly nozzle: { readonly bore: number } | null;
}

/** What the line lost while the needle was read, Pa: beyond the expected in the blast hose, and before the blast machine where that is measured. */
export interface LossThen {
  readonly residual: number;
  readonly supplyLoss: number | null;
}

/** Standard error of a gauge, Pa: as `WITHOUT_BASELINE` has it. */
const GAUGE = WITHOUT_BASELINE.supply;

/** What may have changed since a needle reading: friction by mix and lining (practice, no source); the nozzle is as it was. */
const SINCE_BASELINE: LineUncertainty = { friction: 0.05, coefficient: 0, supply: GAUGE };

function built({ hose, nozzle, elevation }: BuiltLine, supply: GaugePressure) {
  return hose && nozzle && supply > 0 ? blastLine({ supply, atmosphere: atmosphereAt(elevation), hose, nozzle }) : undefined;
}

/**
 * Nozzle pressure expected of the rig as built, Pa gauge, with 95 % limits before any baseline of this rig. Undefined where hose or
 * nozzle are not known, or the line has no pressure.
 */
export function expectedNozzle(rig: BuiltLine, supply: GaugePressure): Interval | undefined {
  const line = built(rig, supply);
  const place = line && lineProfile(line).outlets[0]?.places.at(-1);
  if (!place) return undefined;
  const reach = TO_95 * place.standardError;
  return { value: place.pressure, low: place.pressure - reach, high: place.pressure + reach };
}

/** Friction drifts with mix and wear: so much at once, so much more an hour, and never more than where nothing is known (our judgement, no source). */
const DRIFT = { atOnce: 0.05, anHour: 0.03, most: 0.2 };

/** A needle reading with the pressure at the blast machine then, and how long ago that is. */
export interface NeedlePair extends PressurePair {
  readonly ageMs: number;
}

/** Nozzle pressure *computed* from the machine's, calibrated by the last needle reading where there is one; say so where it is shown. */
export function computedNozzle({ hose, nozzle, elevation }: BuiltLine, machine: GaugePressure, needle: NeedlePair | null): Interval | undefined {
  if (!hose || !nozzle || machine <= 0) return undefined;
  const frictionDrift = Math.min(DRIFT.most, DRIFT.atOnce + (DRIFT.anHour * Math.max(0, needle?.ageMs ?? 0)) / 3_600_000);
  return estimateNozzlePressure({ machine, atmosphere: atmosphereAt(elevation), hose, nozzle, gaugeStandardError: GAUGE, ...(needle ? { needle, frictionDrift } : {}) });
}

/** Pressures now, Pa gauge; the compressor's where it is measured. */
export interface LineNow {
  readonly compressor: GaugePressure | null;
  readonly machine: GaugePressure;
  readonly nozzle: GaugePressure;
}

/**
 * What the losses of the line point to. Against what they were at the needle reading where there is one: only then is anything
 * known of the side before the blast machine. Undefined where hose or nozzle are not known.
 */
export function explainLoss(rig: BuiltLine, now: LineNow, then: LossThen | null): Verdict | undefined {
  const line = built(rig, now.machine);
  const last = line && lineProfile(line, then ? SINCE_BASELINE : WITHOUT_BASELINE).outlets[0]?.places.at(-1);
  if (!last) return undefined;
  const usual = last.pressure - (then?.residual ?? 0);
  const place = { ...last, pressure: gauge(usual), loss: last.loss + (then?.residual ?? 0) };
  const hose = segmentResiduals(now.machine, [{ place, part: 'machine-and-blast-hose', measured: now.nozzle }], GAUGE);
  const atmosphere: AbsolutePressure = atmosphereAt(rig.elevation);
  return likelyCause([...supplySide(now, then), ...hose], { nozzle: { measured: now.nozzle, expected: gauge(usual) }, atmosphere });
}

function supplySide({ compressor, machine }: LineNow, then: LossThen | null): readonly SegmentResidual[] {
  if (compressor === null || !then || then.supplyLoss === null) return [];
  return [{ part: 'supply-hose', measured: compressor - machine, expected: then.supplyLoss, standardError: Math.SQRT2 * GAUGE }];
}
