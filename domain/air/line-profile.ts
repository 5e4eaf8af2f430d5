import { needNotNegative } from '../quantity/check-input.ts';
import { type GaugePressure, gauge } from '../quantity/pressure.ts';
import { type Line, type Segment, type SolvedLine, type SolvedSegment, solveLine } from './line.ts';
import { NOZZLE_COEFFICIENT } from './nozzle-flow.ts';

/** Standard errors of what the expected profile rests on. Fractions, but the supply in Pa. */
export interface LineUncertainty {
  /** Of every hose's friction, its loading included. */
  readonly friction: number;
  /** Of every nozzle's discharge coefficient. */
  readonly coefficient: number;
  /** Of the supply gauge, Pa. */
  readonly supply: number;
}

/** Before a rig has a baseline: loading ±40 %, coefficient ±10 % taken as 95 % limits, a 200 psi gauge of 0.5 % (practice, no source). */
export const WITHOUT_BASELINE: LineUncertainty = { friction: 0.2, coefficient: 0.05, supply: 3450 };

/** One place along the line. */
export interface ProfilePlace {
  readonly name: string;
  readonly pressure: GaugePressure;
  /** Pa */
  readonly standardError: number;
  /** Lost since the place before, Pa, and how surely: an error of the supply gauge moves all places and no loss. */
  readonly loss: number;
  readonly lossStandardError: number;
}

export interface LineProfile {
  /** From the supply through what is shared to the blast machine. */
  readonly shared: readonly ProfilePlace[];
  /** Per outlet, from the blast machine to the nozzle. */
  readonly outlets: readonly { readonly name: string; readonly massFlow: number; readonly flowStandardError: number; readonly places: readonly ProfilePlace[] }[];
  readonly solved: SolvedLine;
}

function rough(segment: Segment, factor: number): Segment {
  return segment.kind === 'hose' ? { ...segment, loading: (segment.loading ?? 1) * factor } : { ...segment, loss: segment.loss * factor };
}

/** The line as it would be with one thing a standard error off; each thing is off by itself. */
function disturbances(line: Line, by: LineUncertainty): Line[] {
  const changed: Line[] = [];
  if (by.supply > 0) changed.push({ ...line, supply: gauge(line.supply + by.supply) });
  if (by.friction > 0) {
    line.shared.forEach((_, at) => changed.push({ ...line, shared: line.shared.map((one, index) => (index === at ? rough(one, 1 + by.friction) : one)) }));
    line.outlets.forEach((outlet, at) => {
      const rougher = { ...outlet, segments: outlet.segments.map((one) => rough(one, 1 + by.friction)) };
      changed.push({ ...line, outlets: line.outlets.map((one, index) => (index === at ? rougher : one)) });
    });
  }
  if (by.coefficient > 0) {
    line.outlets.forEach((outlet, at) => {
      const coefficient = (outlet.nozzle.coefficient ?? NOZZLE_COEFFICIENT) * (1 + by.coefficient);
      const wider = { ...outlet, nozzle: { ...outlet.nozzle, coefficient } };
      changed.push({ ...line, outlets: line.outlets.map((one, index) => (index === at ? wider : one)) });
    });
  }
  return changed;
}

/** Every number of a solution in one fixed order: per segment its outlet and loss, the shared ones first, then per outlet its flow and segments. */
function numbersOf(solved: SolvedLine): number[] {
  const pair = (one: SolvedSegment): number[] => [one.outlet, one.loss];
  return [solved.supply, ...solved.shared.flatMap(pair), ...solved.outlets.flatMap((one) => [one.massFlow, ...one.segments.flatMap(pair)])];
}

/**
 * What every gauge along the line should read while blasting, and how surely: the line is solved once, and once more for
 * each thing that may be off; the shifts add as squares (first order).
 * @throws RangeError as `solveLine`.
 */
export function lineProfile(line: Line, uncertainty: LineUncertainty = WITHOUT_BASELINE): LineProfile {
  needNotNegative('friction uncertainty', uncertainty.friction);
  needNotNegative('coefficient uncertainty', uncertainty.coefficient);
  needNotNegative('supply uncertainty', uncertainty.supply, 'Pa');
  const solved = solveLine(line);
  const middle = numbersOf(solved);
  const squares = middle.map(() => 0);
  for (const changed of disturbances(line, uncertainty)) {
    numbersOf(solveLine(changed)).forEach((value, at) => (squares[at] = (squares[at] ?? 0) + (value - (middle[at] ?? value)) ** 2));
  }
  let next = 0;
  const error = (): number => Math.sqrt(squares[next++] ?? 0);
  const placeOf = (one: SolvedSegment): ProfilePlace => ({ name: one.name, pressure: one.outlet, standardError: error(), loss: one.loss, lossStandardError: error() });
  const shared: ProfilePlace[] = [{ name: 'supply', pressure: solved.supply, standardError: error(), loss: 0, lossStandardError: 0 }];
  for (const one of solved.shared) shared.push(placeOf(one));
  const outlets = solved.outlets.map((outlet) => {
    const flowStandardError = error();
    const standardError = shared.at(-1)?.standardError ?? 0;
    const places: ProfilePlace[] = [{ name: 'blast machine', pressure: solved.machinePressure, standardError, loss: 0, lossStandardError: 0 }];
    for (const one of outlet.segments) places.push(placeOf(one));
    return { name: outlet.name, massFlow: outlet.massFlow, flowStandardError, places };
  });
  return { shared, outlets, solved };
}
