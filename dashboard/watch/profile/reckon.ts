import { computedNozzle, expectedNozzle, explainLoss } from '../../../domain/air/reckon-line.ts';
import { type Explanation, type Verdict, thingsToCheck } from '../../../domain/air/likely-cause.ts';
import { gauge } from '../../../domain/quantity/pressure.ts';
import type { Interval } from '../../../domain/quantity/propagate.ts';
import { fromSi, needUnit, toSi } from '../../../domain/quantity/unit.ts';
import type { LiveRig } from '../../../domain/wire/live.ts';
import type { AirLine, Station, StationId } from './read-line.ts';

/** What is worked out of a line beside what is measured; psi gauge, 95 % limits. */
export interface Reckoned {
  /** What the nozzle should read with the supply as it is; null where nothing is expected. */
  readonly expected: Interval | null;
  /** What the nozzle has by computation; only where nothing good is measured there. */
  readonly computed: Interval | null;
  /** What the losses point to; null where nothing is blamed or it can't be said. */
  readonly verdict: Verdict | null;
}

const PSI = needUnit('[psi]', 'pressure');
const inPa = (psi: number) => gauge(toSi(psi, PSI));
const inPsi = ({ value, low, high }: Interval): Interval => ({ value: fromSi(value, PSI), low: fromSi(low, PSI), high: fromSi(high, PSI) });

/** Age of a needle reading, to the minute: finer, everything would be worked out anew each second. */
const AGE_STEP_MS = 60_000;

/** `lately`: what a place has had in the last half minute; null where that is not known, and then what it has now counts. */
export function reckonLine(rig: LiveRig, line: AirLine, nowMs: number | null, lately: (place: Station) => number | null = () => null): Reckoned {
  const psiOf = (id: StationId): number | null => line.stations.find((one) => one.id === id)?.psi ?? null;
  const machine = psiOf('machine');
  const nozzle = psiOf('nozzle');
  const nothing: Reckoned = { expected: null, computed: null, verdict: null };
  if (machine === null || line.blasting === false) return nothing;
  const expected = line.expectedNozzlePsi === null ? undefined : expectedNozzle(rig.line, inPa(machine));
  return {
    expected: expected && line.expectedNozzlePsi !== null ? around(line.expectedNozzlePsi, inPsi(expected)) : null,
    computed: nozzle === null ? computed(rig, machine, nowMs) : null,
    verdict: nozzle !== null && line.segments.some((one) => one.alarm !== null) ? (explain(rig, steady(line, lately)) ?? null) : null,
  };
}

interface LossesNow {
  readonly compressor: number | null;
  readonly machine: number | null;
  readonly nozzle: number | null;
}

/** A cause must not change with each breath of the line: judged is what it has had lately. */
function steady(line: AirLine, lately: (place: Station) => number | null): LossesNow {
  const psiOf = (id: StationId): number | null => {
    const place = line.stations.find((one) => one.id === id);
    return place && place.psi !== null ? (lately(place) ?? place.psi) : null;
  };
  return { compressor: psiOf('compressor'), machine: psiOf('machine'), nozzle: psiOf('nozzle') };
}

/** The server's number with the width worked out here: the same computation, on a reading that may be a moment younger. */
function around(value: number, { value: middle, low, high }: Interval): Interval {
  return { value, low: value - (middle - low), high: value + (high - middle) };
}

function computed(rig: LiveRig, machine: number, nowMs: number | null): Interval | null {
  const { needle } = rig;
  const ageMs = needle && nowMs !== null ? Math.floor((nowMs - needle.atMs) / AGE_STEP_MS) * AGE_STEP_MS : 0;
  const pair = needle && needle.supply !== null ? { machine: inPa(needle.supply), nozzle: inPa(needle.nozzle), ageMs } : null;
  const found = computedNozzle(rig.line, inPa(machine), pair);
  return found ? inPsi(found) : null;
}

function explain({ line, needle }: LiveRig, now: LossesNow): Verdict | undefined {
  if (now.machine === null || now.nozzle === null) return undefined;
  const then = needle && needle.residual !== null ? { residual: inPa(needle.residual), supplyLoss: needle.supplyLoss === null ? null : inPa(needle.supplyLoss) } : null;
  return explainLoss(line, { compressor: now.compressor === null ? null : inPa(now.compressor), machine: inPa(now.machine), nozzle: inPa(now.nozzle) }, then);
}

/** Half the width, as it is said behind ±: the larger of the two where they differ. */
export function reachOf({ value, low, high }: Interval): number {
  return Math.max(value - low, high - value);
}

/** So many explanations are named where they can't be told apart. */
const NAMED = 3;

/** What to look for, the likeliest first, in the server's words; empty where nothing better is known than the alarm's own cause. */
export function lookFor(verdict: Verdict | null): { readonly isLikely: boolean; readonly things: readonly string[] } {
  if (verdict?.verdict === 'likely') return { isLikely: true, things: thingsToCheck(verdict.explanation) };
  if (verdict?.verdict !== 'cant-tell') return { isLikely: false, things: [] };
  const first = (one: Explanation): string => thingsToCheck(one)[0] ?? '';
  return { isLikely: false, things: [...new Set(verdict.candidates.slice(0, NAMED).map(first))] };
}
