import { clamp } from '../rig/air.ts';
import { COMPRESSOR_EFFECTS, type CompressorEffects, RIG_EFFECTS, type RigEffects, SITE_EFFECTS, type SiteEffects } from '../rig/effects.ts';
import type { PlantEffects } from '../rig/site-plant.ts';
import type { ScriptLine } from './scenario.ts';

/** What really went wrong, and when: the truth that inference is scored against. */
export interface TrueFault {
  readonly cause: string;
  readonly on: string;
  readonly fromMs: number;
  /** Absent: to the end. */
  readonly toMs?: number;
}

/** A script set to a clock. */
export interface Script {
  readonly plant: PlantEffects;
  readonly faults: readonly TrueFault[];
  /** Sum of a sensor's or device's effect at the moment set; 0 where nothing is wrong. */
  sensorEffect(on: string, effect: string): number;
  /** True where the script ever touches this sensor or device. */
  touches(on: string): boolean;
  /** Sets every effect to what it is at this instant. */
  setTo(atMs: number): void;
}

/** Share, 0 to 1, of a line's size at an instant. */
function intensity(line: ScriptLine, originMs: number, atMs: number): number {
  const t = (atMs - originMs) / 1000 - line.at;
  const left = (line.lasts ?? Infinity) - t;
  if (t < 0 || left <= 0) return 0;
  return line.ramp ? clamp(Math.min(t, left) / line.ramp, 0, 1) : 1;
}

type Sums = Record<string, number>;

/** @param origins when the scenario starts and when the site goes live, ms UTC. */
export function setScript(lines: readonly ScriptLine[], origins: { start: number; live: number }): Script {
  const blanks = { rig: RIG_EFFECTS, comp: COMPRESSOR_EFFECTS };
  const sums = new Map<string, Sums>();
  function sumsOf(on: string, blank: Sums): Sums {
    const found = sums.get(on) ?? { ...blank };
    sums.set(on, found);
    return found;
  }
  function blankOf(on: string): Sums {
    if (on.includes('/')) return {};
    return on === 'site' ? SITE_EFFECTS : on.startsWith('rig-') ? blanks.rig : blanks.comp;
  }
  const entries = lines.map((line) => ({ line, origin: origins[line.since], sums: sumsOf(line.on, blankOf(line.on)) }));
  return {
    plant: {
      site: sumsOf('site', SITE_EFFECTS) as SiteEffects,
      compressor: (id) => (sums.get(id) ?? COMPRESSOR_EFFECTS) as CompressorEffects,
      rig: (id) => (sums.get(id) ?? RIG_EFFECTS) as RigEffects,
    },
    faults: entries.flatMap(({ line, origin }) => trueFault(line, origin)),
    sensorEffect: (on, effect) => sums.get(on)?.[effect] ?? 0,
    touches: (on) => sums.has(on),
    setTo(atMs) {
      for (const { line, sums: own } of entries) own[line.effect] = 0;
      for (const { line, origin, sums: own } of entries) own[line.effect] = (own[line.effect] ?? 0) + line.size * intensity(line, origin, atMs);
    },
  };
}

function trueFault(line: ScriptLine, origin: number): TrueFault[] {
  if (line.cause === undefined) return [];
  const fromMs = origin + line.at * 1000;
  const fault = { cause: line.cause, on: line.on, fromMs };
  return [line.lasts === undefined ? fault : { ...fault, toMs: fromMs + line.lasts * 1000 }];
}
