import { needNotNegative, needPositive } from '../quantity/check-input.ts';
import { findRoot } from '../quantity/find-root.ts';
import { type AbsolutePressure, type GaugePressure, absolute, gauge, toGauge } from '../quantity/pressure.ts';
import { abrasiveLoading } from './abrasive-loading.ts';
import { type Hose, findHoseLoss } from './hose-loss.ts';
import { nozzleMassFlow } from './nozzle-flow.ts';

/** A hose, or a thing whose loss is known at one flow: separator, filter, valves and pot piping. */
export type Segment =
  | ({ readonly kind: 'hose'; readonly name: string } & Hose)
  | { readonly kind: 'element'; readonly name: string; readonly loss: number; readonly massFlow: number; readonly pressure: AbsolutePressure };

/** One way out of the blast machine, with its own hose and nozzle. */
export interface Outlet {
  readonly name: string;
  readonly segments: readonly Segment[];
  readonly nozzle: { readonly bore: number; readonly coefficient?: number };
}

/** The line from where the pressure is known to the nozzles. */
export interface Line {
  readonly supply: GaugePressure;
  readonly atmosphere: AbsolutePressure;
  /** K */
  readonly temperature?: number;
  /** What all outlets share, in the order the air takes. */
  readonly shared: readonly Segment[];
  readonly outlets: readonly Outlet[];
  /** Taken off the shared part besides the nozzles (breathing air, control line), kg/s. */
  readonly takenOff?: number;
  /** What the air source can give, kg/s: beyond it the supply sags until demand fits. */
  readonly ratedFlow?: number;
}

export interface SolvedSegment {
  readonly name: string;
  readonly inlet: GaugePressure;
  readonly outlet: GaugePressure;
  readonly loss: number;
  readonly massFlow: number;
}

export interface SolvedOutlet {
  readonly name: string;
  readonly nozzlePressure: GaugePressure;
  readonly massFlow: number;
  readonly segments: readonly SolvedSegment[];
}

export interface SolvedLine {
  /** As given, or as far as the source sags. */
  readonly supply: GaugePressure;
  readonly sags: boolean;
  readonly machinePressure: GaugePressure;
  readonly massFlow: number;
  readonly shared: readonly SolvedSegment[];
  readonly outlets: readonly SolvedOutlet[];
}

type Surroundings = Pick<Line, 'atmosphere' | 'temperature'>;

function lossOf(segment: Segment, inlet: GaugePressure, massFlow: number, around: Surroundings): number | undefined {
  if (segment.kind === 'hose') {
    const { atmosphere, temperature } = around;
    return findHoseLoss(segment, { inlet, atmosphere, ...(temperature === undefined ? {} : { temperature }) }, massFlow);
  }
  needNotNegative('element loss', segment.loss, 'Pa');
  needPositive('element flow', segment.massFlow, 'kg/s');
  const density = (inlet + around.atmosphere) / segment.pressure;
  const loss = (segment.loss * (massFlow / segment.massFlow) ** 2) / density;
  return loss < inlet + around.atmosphere ? loss : undefined;
}

/** Walks the air through segments; undefined where one can't pass the flow. */
function walk(segments: readonly Segment[], start: GaugePressure, massFlow: number, around: Surroundings): SolvedSegment[] | undefined {
  const walked: SolvedSegment[] = [];
  let inlet = start;
  for (const segment of segments) {
    const loss = lossOf(segment, inlet, massFlow, around);
    if (loss === undefined) return undefined;
    const outlet = gauge(inlet - loss);
    walked.push({ name: segment.name, inlet, outlet, loss, massFlow });
    inlet = outlet;
  }
  return walked;
}

function solveOutlet(outlet: Outlet, start: GaugePressure, around: Surroundings): SolvedOutlet {
  const through = (pressure: GaugePressure): number => nozzleMassFlow({ ...outlet.nozzle, ...around, pressure });
  const most = through(start);
  if (most === 0) return { name: outlet.name, nozzlePressure: start, massFlow: 0, segments: walk(outlet.segments, start, 0, around) ?? [] };
  // More flow leaves less pressure for the nozzle: one crossing. A hose that can't pass a flow leaves none at all.
  const surplus = (flow: number): number => {
    const end = walk(outlet.segments, start, flow, around);
    return (end === undefined ? 0 : through(end.at(-1)?.outlet ?? start)) - flow;
  };
  const massFlow = outlet.segments.length === 0 ? most : findRoot(surplus, 0, most, most * 1e-12);
  const segments = walk(outlet.segments, start, massFlow, around) ?? [];
  return { name: outlet.name, nozzlePressure: segments.at(-1)?.outlet ?? start, massFlow, segments };
}

/** All of the line with the supply held at a pressure. */
function solveAt(line: Line, supply: GaugePressure): Omit<SolvedLine, 'sags'> {
  const takenOff = line.takenOff ?? 0;
  const flowAt = (machine: GaugePressure): number => takenOff + line.outlets.reduce((sum, outlet) => sum + solveOutlet(outlet, machine, line).massFlow, 0);
  const surplus = (machine: number): number => {
    const end = walk(line.shared, supply, flowAt(gauge(machine)), line);
    return (end === undefined ? -line.atmosphere : (end.at(-1)?.outlet ?? supply)) - machine;
  };
  const nothingPasses = line.shared.length === 0 || supply <= 0 || surplus(supply) === 0;
  const machine = nothingPasses ? supply : gauge(findRoot(surplus, Math.min(0, supply), supply, 1e-6));
  const outlets = line.outlets.map((outlet) => solveOutlet(outlet, machine, line));
  const massFlow = takenOff + outlets.reduce((sum, outlet) => sum + outlet.massFlow, 0);
  return { supply, machinePressure: machine, massFlow, shared: walk(line.shared, supply, massFlow, line) ?? [], outlets };
}

/**
 * Solves the whole line: every pressure and flow from the source to the nozzles, which must agree with the losses on the way.
 * Steady flow at one temperature. A source asked for more than it is rated for sags until the demand fits.
 * @throws RangeError for impossible input, naming it.
 */
export function solveLine(line: Line): SolvedLine {
  needNotNegative('flow taken off', line.takenOff ?? 0, 'kg/s');
  absolute(line.supply + line.atmosphere);
  const full = solveAt(line, line.supply);
  const rated = line.ratedFlow;
  if (rated === undefined || full.massFlow <= rated) return { ...full, sags: false };
  needPositive('rated flow', rated, 'kg/s');
  if ((line.takenOff ?? 0) >= rated) throw new RangeError('flow taken off is more than the air source is rated for: nothing is left to blast with');
  const sagged = findRoot((pressure) => solveAt(line, gauge(pressure)).massFlow - rated, toGauge(line.atmosphere, line.atmosphere), line.supply, 1);
  return { ...solveAt(line, gauge(sagged)), sags: true };
}

/** The shortest line there is: blast machine, one blast hose with abrasive in it, one nozzle. */
export function blastLine(at: {
  readonly supply: GaugePressure;
  readonly atmosphere: AbsolutePressure;
  readonly temperature?: number;
  readonly hose: Hose;
  readonly nozzle: { readonly bore: number; readonly coefficient?: number };
}): Line {
  const { hose, nozzle, ...rest } = at;
  const segments: Segment[] = [{ kind: 'hose', name: 'blast hose', loading: abrasiveLoading(), ...hose }];
  return { ...rest, shared: [], outlets: [{ name: 'outlet', segments, nozzle }] };
}
