import { CAUSE_CASES, nameCause } from './score-cause.ts';
import { FAULT_CASES, findFault, scoreQuiet } from './score-alarms.ts';
import { type BoreEstimate, scoreBore } from './score-bore.ts';

/** What many seeds came to. */
export interface Scores {
  readonly seeds: number;
  readonly quiet: { readonly rigHours: number; readonly critical: number; readonly audible: readonly string[] };
  /** By scenario: clips played, and the delays of those found, s, shortest first. */
  readonly faults: Readonly<Record<string, { readonly clips: number; readonly delaysS: readonly number[] }>>;
  /** By truth, then by answer: how often. */
  readonly causes: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly bores: readonly BoreEstimate[];
}

/** Each seed has an uneventful clip, a worn nozzle, one cause to name and two faults to find; with 200 of them each fault has 20. */
const FAULTS_A_SEED = 2;

export function scoreSeeds(seeds: number, tell: (seed: number) => void = () => undefined, first = 1): Scores {
  const quiet = { rigHours: 0, critical: 0, audible: [] as string[] };
  const faults: Record<string, { clips: number; delaysS: number[] }> = Object.fromEntries(FAULT_CASES.map(({ scenario }) => [scenario, { clips: 0, delaysS: [] }]));
  const causes: Record<string, Record<string, number>> = Object.fromEntries(CAUSE_CASES.map(({ truth }) => [truth, {}]));
  const bores: BoreEstimate[] = [];
  for (let seed = first; seed < first + seeds; seed += 1) {
    const { rigHours, critical, audible } = scoreQuiet(seed);
    quiet.rigHours += rigHours;
    quiet.critical += critical.length;
    quiet.audible.push(...audible.map(({ owner, name, s }) => `seed ${seed}: ${owner}/${name} at ${Math.round(s)} s`));
    for (let n = 0; n < FAULTS_A_SEED; n += 1) {
      const one = FAULT_CASES[(FAULTS_A_SEED * seed + n) % FAULT_CASES.length];
      const score = one && faults[one.scenario];
      if (!score) continue;
      const delayS = findFault(one, seed);
      score.clips += 1;
      if (delayS !== null) score.delaysS.push(delayS);
    }
    const cause = CAUSE_CASES[seed % CAUSE_CASES.length];
    const answer = cause && nameCause(cause, seed);
    const row = cause && causes[cause.truth];
    if (row && answer) row[answer] = (row[answer] ?? 0) + 1;
    const bore = scoreBore(seed);
    if (bore) bores.push(bore);
    tell(seed);
  }
  for (const { delaysS } of Object.values(faults)) delaysS.sort((a, b) => a - b);
  return { seeds, quiet, faults, causes, bores };
}
