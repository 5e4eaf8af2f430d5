import { leak } from '../../air/leak.ts';
import { STANDARD_AIR_DENSITY } from '../../air/standard-air.ts';
import { gauge } from '../../quantity/pressure.ts';
import { needUnit } from '../../quantity/unit.ts';

/** How long the supply side is held, ms: within the usual 30 to 60 s (common practice, no source). */
export const HOLD_MS = 60_000;
/** m³ that hold the air where nobody says: 100 ft of 1.5 to 2 in hose hold 1.2 to 2.2 ft³. */
export const USUAL_HELD_VOLUME = 2 * 0.3048 ** 3;
/** cfm of standard air: a leak below this is not chased before blasting (judgement, no source). */
export const HOLD_LIMIT = 1;

const PSI = needUnit('[psi]', 'pressure');
const CFM = needUnit('[cft_i]/min', 'volume-flow');
/** psi: two readings of one gauge, one after the other. K: what the air may warm or cool meanwhile. Share: hose swells, fittings are guessed. */
const READING_ERROR = 0.1;
const WARMING = 0.25;
const VOLUME_ERROR = 0.2;

/** A hold test, running or ended. Pressures in psi gauge as the supply sensor gives them. */
export interface HoldRun {
  readonly sinceMs: number;
  readonly by: string;
  /** m³ */
  readonly volume: number;
  readonly from: number;
  readonly to: number;
  readonly toMs: number;
  /** Null while it runs; `lost`: the sensor fell silent; `disturbed`: somebody blasted meanwhile. */
  readonly ended: 'held' | 'stopped' | 'lost' | 'disturbed' | null;
}

export interface HoldVerdict {
  /** cfm of standard air, with its 95 % limits. */
  readonly leak: { readonly value: number; readonly low: number; readonly high: number };
  /** `unclear`: the errors of gauge, volume and temperature reach over the limit. */
  readonly verdict: 'holds' | 'leaks' | 'unclear';
}

/** The run with another second of it. */
export function nextHold(run: HoldRun, supply: number | null, isBlasting: boolean, atMs: number): HoldRun {
  if (run.ended !== null) return run;
  if (isBlasting) return { ...run, ended: 'disturbed' };
  if (supply === null) return { ...run, ended: 'lost' };
  return { ...run, to: supply, toMs: atMs, ended: atMs - run.sinceMs >= HOLD_MS ? 'held' : null };
}

/** What an ended run says; null where it says nothing. */
export function judgeHold(run: HoldRun): HoldVerdict | null {
  const seconds = (run.toMs - run.sinceMs) / 1000;
  if (run.ended !== 'held' || seconds <= 0) return null;
  const cfm = (massFlow: number): number => massFlow / STANDARD_AIR_DENSITY / CFM.factor;
  const found = leak({
    volume: run.volume,
    from: gauge(run.from * PSI.factor),
    to: gauge(run.to * PSI.factor),
    time: seconds,
    gaugeStandardError: READING_ERROR * PSI.factor,
    volumeStandardError: VOLUME_ERROR,
    temperatureChangeStandardError: WARMING,
  });
  const [value, low, high] = [cfm(found.value), cfm(found.low), cfm(found.high)];
  return { leak: { value, low, high }, verdict: high <= HOLD_LIMIT ? 'holds' : low > HOLD_LIMIT ? 'leaks' : 'unclear' };
}
