import { needPositive } from '../quantity/check-input.ts';
import { type AbsolutePressure, type GaugePressure, toAbsolute } from '../quantity/pressure.ts';

export type SegmentPart = 'supply-hose' | 'separator' | 'machine-and-blast-hose';

/** Loss along one segment beside what was expected, Pa, with the standard error of their difference. */
export interface SegmentResidual {
  readonly part: SegmentPart;
  readonly measured: number;
  readonly expected: number;
  readonly standardError: number;
}

export type Cause =
  | 'more-flow' // worn nozzle, missing or leaking nozzle washer
  | 'less-flow' // nozzle partly blocked, a smaller one fitted
  | 'restriction' // in `part`
  | 'less-abrasive' // pot empty, choke shut by a clump, lean mix: the blast hose runs nearly clean
  | 'leak' // or another consumer, after `part`
  | 'gauge' // the gauge after `part`
  | 'capacity'; // the compressor gives less than is asked of it

export interface Explanation {
  readonly cause: Cause;
  readonly part?: SegmentPart;
  /** How badly the pattern misses, in squared standard errors. */
  readonly misfit: number;
}

export type Verdict =
  | { readonly verdict: 'as-expected' }
  | { readonly verdict: 'likely'; readonly explanation: Explanation }
  | { readonly verdict: 'cant-tell'; readonly because: string; readonly candidates: readonly Explanation[] };

/** What to look for, in the order of how often it is found (common practice, no source). */
export const THINGS_TO_CHECK: Readonly<Record<Cause, readonly string[]>> = {
  'more-flow': ['worn nozzle', 'nozzle washer missing or leaking'],
  'less-flow': ['nozzle partly blocked', 'smaller nozzle than set up'],
  restriction: ['hose kinked or flattened', 'valve not fully open', 'coupling or gasket in the way'],
  'less-abrasive': ['pot empty', 'metering valve blocked or shut', 'lean mix'],
  leak: ['leaking coupling or gasket', 'another consumer on the line'],
  gauge: ['gauge off zero', 'snubber blocked'],
  capacity: ['another rig has started', 'compressor set low or unloading early', 'intake filter or speed of the compressor'],
};
const RESTRICTED: Readonly<Record<SegmentPart, readonly string[]>> = {
  'supply-hose': THINGS_TO_CHECK.restriction,
  separator: ['element blocked', 'drain flooded'],
  'machine-and-blast-hose': ['rich mix', 'choke partly shut', 'clump of abrasive', 'hose kinked'],
};

/** What to look for under an explanation. */
export function thingsToCheck({ cause, part }: Explanation): readonly string[] {
  return cause === 'restriction' && part ? RESTRICTED[part] : THINGS_TO_CHECK[cause];
}

interface Pattern {
  readonly segments: readonly SegmentResidual[];
  /** Flow over expected flow if the nozzle is as it was: by the nozzle's absolute pressure, as while choked. */
  readonly flow: number;
}

/** Loss goes with flow to the power of nearly two in rough turbulent flow. */
const LOSS_EXPONENT = 1.9;

function misfit(segments: readonly SegmentResidual[], predicted: (one: SegmentResidual, at: number) => number | undefined): number {
  return segments.reduce((sum, one, at) => {
    const loss = predicted(one, at);
    return loss === undefined ? sum : sum + ((one.measured - loss) / one.standardError) ** 2;
  }, 0);
}

/** The factor on expected losses that fits best over some segments. */
function commonFactor(segments: readonly SegmentResidual[]): number {
  const weigh = (f: (one: SegmentResidual) => number): number => segments.reduce((sum, one) => sum + f(one) / one.standardError ** 2, 0);
  const below = weigh((one) => one.expected ** 2);
  return below > 0 ? weigh((one) => one.measured * one.expected) / below : 1;
}

function explanations({ segments, flow }: Pattern): Explanation[] {
  const found: Explanation[] = [];
  const all = commonFactor(segments);
  found.push({ cause: all > 1 ? 'more-flow' : 'less-flow', misfit: misfit(segments, (one) => one.expected * all) });
  const asNozzle = flow ** LOSS_EXPONENT;
  segments.forEach((segment, at) => {
    const isLast = at === segments.length - 1;
    const { part } = segment;
    const others = misfit(segments, (one, index) => (index === at ? undefined : one.expected * asNozzle));
    if (segment.measured > segment.expected * asNozzle) found.push({ cause: 'restriction', part, misfit: others });
    else if (isLast) found.push({ cause: 'less-abrasive', part, misfit: others });
    if (isLast) return;
    const upstream = commonFactor(segments.slice(0, at + 1));
    if (upstream > 1) found.push({ cause: 'leak', part, misfit: misfit(segments, (one, index) => one.expected * (index <= at ? upstream : asNozzle)) });
    // A gauge between two segments takes from one what it gives to the other.
    const next = segments[at + 1];
    if (!next) return;
    const [w1, w2] = [1 / segment.standardError ** 2, 1 / next.standardError ** 2];
    const off = (w1 * (segment.measured - segment.expected) - w2 * (next.measured - next.expected)) / (w1 + w2);
    found.push({ cause: 'gauge', part, misfit: misfit(segments, (one, index) => one.expected + (index === at ? off : index === at + 1 ? -off : 0)) });
  });
  return found.sort((a, b) => a.misfit - b.misfit);
}

/** Squared standard errors: beyond chance for one number; between two explanations; for a fit to be believed, per segment left. */
const BEYOND_CHANCE = 6.6;
const CLEARLY_BETTER = 4;
const BELIEVABLE = 4;

/** Pressures that the segments are judged between. */
export interface LineEnds {
  readonly nozzle: { readonly measured: GaugePressure; readonly expected: GaugePressure };
  readonly atmosphere: AbsolutePressure;
  /** Of the source against its set point, where it is measured. */
  readonly source?: { readonly measured: GaugePressure; readonly expected: GaugePressure; readonly standardError: number };
}

/** A source that sags by itself leaves every loss as expected at the pressure it gives, or points to the flow that it can't give. */
function sags(source: LineEnds['source']): boolean {
  return source !== undefined && source.measured < source.expected && ((source.measured - source.expected) / source.standardError) ** 2 > BEYOND_CHANCE;
}

/**
 * What the pattern of all segments points to. More flow raises every loss alike; a restriction raises its own and, by
 * slowing the air, lowers the others; a gauge moves two neighbours against each other. Each is fitted and the best taken
 * if it fits and clearly beats the next; otherwise *can't tell*, with the candidates. `expected` is at the source's pressure as
 * it is, with the bore as set up.
 * @throws RangeError for standard errors that are not above zero.
 */
export function likelyCause(segments: readonly SegmentResidual[], { nozzle, atmosphere, source }: LineEnds): Verdict {
  for (const one of segments) needPositive('standard error', one.standardError, 'Pa');
  const flow = toAbsolute(nozzle.measured, atmosphere) / toAbsolute(nozzle.expected, atmosphere);
  const worst = Math.max(0, ...segments.map((one) => ((one.measured - one.expected) / one.standardError) ** 2));
  if (worst < BEYOND_CHANCE) return sags(source) ? { verdict: 'likely', explanation: { cause: 'capacity', misfit: worst } } : { verdict: 'as-expected' };
  const candidates = explanations({ segments, flow });
  const [best, next] = candidates;
  if (!best || segments.length < 2) return { verdict: 'cant-tell', because: 'only one segment is measured: more flow and a restriction look alike', candidates };
  if (best.misfit > BELIEVABLE * (segments.length - 1)) return { verdict: 'cant-tell', because: 'no single cause fits all segments', candidates: [] };
  const rivals = candidates.filter((one) => one.misfit < best.misfit + CLEARLY_BETTER);
  if (next && rivals.length > 1) return { verdict: 'cant-tell', because: 'the gauges are too coarse to tell these apart', candidates: rivals };
  return { verdict: 'likely', explanation: best };
}
