import { describe, expect, test } from 'vitest';
import { type LineEnds, type SegmentPart, type SegmentResidual, type Verdict, likelyCause, thingsToCheck } from '../../../domain/air/likely-cause.ts';
import { type Line, type Segment, solveLine } from '../../../domain/air/line.ts';
import { STANDARD_ATMOSPHERE, absolute, gauge } from '../../../domain/quantity/pressure.ts';
import { chance } from './line-physics.ts';

const INCH = 0.0254;
const FOOT = 0.3048;
const PSI = 6894.757293168361;
const PARTS: readonly SegmentPart[] = ['supply-hose', 'separator', 'machine-and-blast-hose'];
const LINE: Line = {
  supply: gauge(115 * PSI),
  atmosphere: STANDARD_ATMOSPHERE,
  shared: [
    { kind: 'hose', name: 'supply hose', bore: 1.25 * INCH, length: 100 * FOOT },
    { kind: 'element', name: 'separator', loss: 3 * PSI, massFlow: 0.14, pressure: absolute(120 * PSI) },
  ],
  outlets: [{ name: 'outlet', segments: [{ kind: 'hose', name: 'blast hose', bore: 1.25 * INCH, length: 100 * FOOT, loading: 2.3 }], nozzle: { bore: (7 / 16) * INCH } }],
};

function measure(line: Line): { losses: number[]; nozzle: number } {
  const { shared, outlets } = solveLine(line);
  const outlet = outlets[0];
  if (!outlet) throw new Error('no outlet');
  return { losses: [...shared, ...outlet.segments].map((one) => one.loss), nozzle: outlet.nozzlePressure };
}

/** Judges what a changed rig shows against what the set-up one should, with an error on each gauge. */
function judge(changed: Line, gaugeError = 0.25 * PSI, seed?: number, gaugesOff: readonly number[] = [0, 0, 0, 0], more: Partial<LineEnds> = {}): Verdict {
  const [expected, seen] = [measure({ ...LINE, supply: changed.supply }), measure(changed)];
  const { normal } = chance(seed ?? 1);
  const errors = gaugesOff.map((off) => off + (seed === undefined ? 0 : normal(gaugeError)));
  const segments = PARTS.map((part, at): SegmentResidual => ({ part, measured: (seen.losses[at] ?? 0) + (errors[at] ?? 0) - (errors[at + 1] ?? 0), expected: expected.losses[at] ?? 0, standardError: Math.hypot(gaugeError * Math.SQRT2, 0.03 * (expected.losses[at] ?? 0)) }));
  return likelyCause(segments, { nozzle: { measured: gauge(seen.nozzle + (errors[3] ?? 0)), expected: gauge(expected.nozzle) }, atmosphere: STANDARD_ATMOSPHERE, ...more });
}

const withShared = (at: number, change: (segment: Segment) => Segment): Line => ({ ...LINE, shared: LINE.shared.map((one, index) => (index === at ? change(one) : one)) });
const rougher = (by: number) => (segment: Segment): Segment => (segment.kind === 'hose' ? { ...segment, loading: (segment.loading ?? 1) * by } : { ...segment, loss: segment.loss * by });
const withOutlet = (bore: number, loading: number): Line => ({ ...LINE, outlets: LINE.outlets.map((one) => ({ ...one, nozzle: { bore: bore * INCH }, segments: one.segments.map(rougher(loading)) })) });

describe('the cause from the pattern of all segments', () => {
  test('nothing changed is as expected', () => {
    expect(judge(LINE)).toEqual({ verdict: 'as-expected' });
  });

  test('more flow raises every loss: wear or a washer', () => {
    const verdict = judge(withOutlet(0.5, 1));
    expect(verdict).toMatchObject({ verdict: 'likely', explanation: { cause: 'more-flow' } });
    if (verdict.verdict === 'likely') expect(thingsToCheck(verdict.explanation)).toContain('worn nozzle');
  });

  test.each<[string, Line, SegmentPart]>([
    ['blocked separator', withShared(1, rougher(4)), 'separator'],
    ['rich mix or kinked blast hose', withOutlet(7 / 16, 2.5), 'machine-and-blast-hose'],
  ])('%s is a restriction there', (_name, line, part) => {
    expect(judge(line)).toMatchObject({ verdict: 'likely', explanation: { cause: 'restriction', part } });
  });

  test('a kinked supply hose and a leak behind it look alike without a flow meter: both are named', () => {
    const verdict = judge(withShared(0, rougher(3)));
    expect(verdict.verdict).toBe('cant-tell');
    if (verdict.verdict === 'cant-tell') expect(verdict.candidates.map((one) => `${one.cause} ${one.part}`).sort()).toEqual(['leak supply-hose', 'restriction supply-hose']);
  });

  test('24 psi lost in the last segment with the upstream losses normal or lower is not wear', () => {
    const verdict = judge(withOutlet(7 / 16, 3.2));
    expect(verdict).toMatchObject({ verdict: 'likely', explanation: { cause: 'restriction', part: 'machine-and-blast-hose' } });
    if (verdict.verdict === 'likely') expect(thingsToCheck(verdict.explanation)[0]).toBe('rich mix');
  });

  test('abrasive stopped: the last loss falls, the nozzle rises', () => {
    expect(judge(withOutlet(7 / 16, 1 / 2.3))).toMatchObject({ verdict: 'likely', explanation: { cause: 'less-abrasive' } });
  });

  test('a nozzle partly blocked lowers every loss', () => {
    expect(judge(withOutlet(0.35, 1))).toMatchObject({ verdict: 'likely', explanation: { cause: 'less-flow' } });
  });

  test('a gauge off between two segments moves them against each other', () => {
    expect(judge(LINE, 0.25 * PSI, undefined, [0, -3 * PSI, 0, 0])).toMatchObject({ verdict: 'likely', explanation: { cause: 'gauge', part: 'supply-hose' } });
  });

  test('a source that sags with every loss as expected is short of capacity', () => {
    const source = { measured: gauge(100 * PSI), expected: gauge(115 * PSI), standardError: PSI };
    expect(judge({ ...LINE, supply: source.measured }, 0.25 * PSI, undefined, [0, 0, 0, 0], { source })).toMatchObject({ verdict: 'likely', explanation: { cause: 'capacity' } });
    expect(judge(LINE, 0.25 * PSI, undefined, [0, 0, 0, 0], { source: { ...source, measured: gauge(114.5 * PSI) } })).toEqual({ verdict: 'as-expected' });
  });

  test('one segment alone can’t be told apart, and coarse gauges leave candidates', () => {
    const one: SegmentResidual = { part: 'machine-and-blast-hose', measured: 20 * PSI, expected: 10 * PSI, standardError: PSI };
    const ends = { nozzle: { measured: gauge(80 * PSI), expected: gauge(90 * PSI) }, atmosphere: STANDARD_ATMOSPHERE };
    expect(likelyCause([one], ends)).toMatchObject({ verdict: 'cant-tell', because: /one segment/ });
    const coarse = judge(withOutlet(7 / 16, 1.5), 1.4 * PSI);
    expect(coarse.verdict).not.toBe('likely');
  });

  test('with fair gauges a named cause is hardly ever the wrong one', () => {
    const cases: [Line, string][] = [[withOutlet(0.5, 1), 'more-flow'], [withShared(1, rougher(4)), 'restriction'], [withOutlet(7 / 16, 2.5), 'restriction'], [withOutlet(7 / 16, 1 / 2.3), 'less-abrasive']];
    let [wrong, named] = [0, 0];
    for (const [line, cause] of cases) {
      for (let seed = 1; seed <= 200; seed++) {
        const verdict = judge(line, 0.35 * PSI, seed);
        if (verdict.verdict !== 'likely') continue;
        named += 1;
        if (verdict.explanation.cause !== cause) wrong += 1;
      }
    }
    expect(named).toBeGreaterThan(500);
    expect(wrong / named).toBeLessThan(0.03);
  });

  test('a standard error of nothing is refused', () => {
    expect(() => likelyCause([{ part: 'separator', measured: 1, expected: 1, standardError: 0 }], { nozzle: { measured: gauge(1e5), expected: gauge(1e5) }, atmosphere: STANDARD_ATMOSPHERE })).toThrow(/standard error/);
  });
});
