import { type Call, isAudible, judgeClip } from './judge-clip.ts';

/** A fault and the alarms by which it counts as found. */
export interface FaultCase {
  readonly scenario: string;
  readonly rigs: number;
  readonly cause: string;
  /** Any of these, `owner/alarm`. */
  readonly found: readonly string[];
  /** Seconds from going live to the end of the clip. */
  readonly untilS: number;
  /** True onset where the script only prepares it: when the pot really is empty. */
  readonly onset?: 'pot-empty';
}

export const FAULT_CASES: readonly FaultCase[] = [
  { scenario: 'co-wind', rigs: 2, cause: 'exhaust in the intake', found: ['rig-a/co-high'], untilS: 900 },
  { scenario: 'co-hot-compressor', rigs: 2, cause: 'overheated compressor', found: ['rig-a/co-rising', 'rig-a/co-high'], untilS: 1800 },
  { scenario: 'catalyst-spent', rigs: 2, cause: 'exhaust in the intake', found: ['rig-a/co-high'], untilS: 600 },
  { scenario: 'breathing-low', rigs: 2, cause: 'breathing regulator creeping down', found: ['rig-a/breathing-pressure-low'], untilS: 1200 },
  { scenario: 'compressor-trip', rigs: 2, cause: 'compressor tripped', found: ['comp-1/compressor-tripped'], untilS: 300 },
  { scenario: 'compressor-small', rigs: 2, cause: 'compressor too small', found: ['comp-1/compressor-overloaded', 'rig-a/nozzle-pressure-low', 'rig-b/nozzle-pressure-low'], untilS: 300 },
  { scenario: 'kinked-hose', rigs: 2, cause: 'kinked blast hose', found: ['rig-a/nozzle-pressure-low', 'rig-a/line-loss-off'], untilS: 1200 },
  { scenario: 'rich-mix', rigs: 2, cause: 'rich mix', found: ['rig-a/line-loss-off', 'rig-a/nozzle-pressure-low'], untilS: 1500 },
  { scenario: 'clogged-separator', rigs: 2, cause: 'separator clogged', found: ['rig-a/separator-loss'], untilS: 1800 },
  { scenario: 'pot-empty', rigs: 1, cause: 'pot run empty', found: ['rig-a/abrasive-stopped'], untilS: 2700, onset: 'pot-empty' },
  { scenario: 'deadman-slow', rigs: 2, cause: 'deadman vents slowly', found: ['rig-a/deadman-failed', 'rig-a/deadman-slow'], untilS: 1200 },
  { scenario: 'handle-tied', rigs: 1, cause: 'handle tied down', found: ['rig-a/trigger-too-long'], untilS: 2600 },
  { scenario: 'separator-overwhelmed', rigs: 2, cause: 'aftercooler fouled', found: ['rig-a/line-wet'], untilS: 2100 },
  { scenario: 'freezing-line', rigs: 1, cause: 'ice in the control line', found: ['rig-a/deadman-failed', 'rig-a/deadman-slow'], untilS: 2400 },
  { scenario: 'front-arriving', rigs: 1, cause: 'front arriving', found: ['rig-a/steel-margin'], untilS: 2700 },
  { scenario: 'gauge-stuck', rigs: 1, cause: 'gauge stuck', found: ['rig-a/supply-gauge-frozen'], untilS: 1200 },
  { scenario: 'gauge-drifting', rigs: 1, cause: 'gauge drifting', found: ['rig-a/line-loss-off'], untilS: 6000 },
  { scenario: 'co-sensor-stuck', rigs: 2, cause: 'CO sensor stuck', found: ['rig-a/co-unknown'], untilS: 600 },
  { scenario: 'wrong-unit', rigs: 2, cause: 'wrong unit', found: ['rig-b/supply-collapse', 'rig-b/supply-pressure-low'], untilS: 300 },
  { scenario: 'network-cut', rigs: 2, cause: 'network cut', found: ['rig-a/co-unknown'], untilS: 600 },
];

const BEFORE_S = 1200;
/** Share of a full pot below which the flow of abrasive fades. */
const EMPTY = 0.02;

/** Seconds from the true onset to the first alarm that counts; null where there was none. */
export function findFault({ scenario, rigs, cause, found, untilS, onset }: FaultCase, seed: number): number | null {
  let emptyS: number | null = null;
  let firstMs: number | null = null;
  const { calls, simulation, liveFromMs } = judgeClip({ scenario, seed, rigs, beforeS: BEFORE_S, afterS: untilS }, (_site, { truth }, atMs) => {
    firstMs ??= atMs;
    const pot = truth.supplies[0]?.rigs[0]?.pot;
    if (emptyS === null && pot && pot.abrasiveKg < EMPTY * pot.build.fullKg) emptyS = (atMs - firstMs) / 1000 + 1 - BEFORE_S;
  });
  const fault = simulation.faults.find((one) => one.cause === cause);
  if (!fault) throw new Error(`${scenario} does nothing wrong that is called ${cause}`);
  const onsetS = onset === 'pot-empty' ? emptyS : (fault.fromMs - liveFromMs) / 1000;
  if (onsetS === null) throw new Error(`${scenario}, seed ${seed}: the pot never ran empty`);
  const call = calls.find(({ owner, name, s }) => found.includes(`${owner}/${name}`) && s >= onsetS);
  return call ? call.s - onsetS : null;
}

export interface QuietScore {
  /** Hours that a rig was watched. */
  readonly rigHours: number;
  readonly critical: readonly Call[];
  readonly audible: readonly Call[];
}

const QUIET_CLIP = { scenario: 'quiet', rigs: 2, beforeS: 300, afterS: 1200 } as const;

/** Twenty-five minutes of an uneventful day with an orderly crew. */
export function scoreQuiet(seed: number): QuietScore {
  const { calls } = judgeClip({ ...QUIET_CLIP, seed });
  return { rigHours: (QUIET_CLIP.rigs * (QUIET_CLIP.beforeS + QUIET_CLIP.afterS)) / 3600, critical: calls.filter(({ priority }) => priority === 'critical'), audible: calls.filter(isAudible) };
}
