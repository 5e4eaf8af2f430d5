import fc from 'fast-check';
import { expect, test } from 'vitest';
import { abrasiveLoading } from '../../../domain/air/abrasive-loading.ts';
import { findHoseLoss, hoseFlow, hoseLoading, hoseLoss } from '../../../domain/air/hose-loss.ts';
import { frictionFactor } from '../../../domain/air/pipe-friction.ts';
import { STANDARD_ATMOSPHERE, gauge } from '../../../domain/quantity/pressure.ts';

const air = { inlet: gauge(7e5), atmosphere: STANDARD_ATMOSPHERE };
const hoses = fc.record({ bore: fc.double({ min: 0.01, max: 0.06, noNaN: true }), length: fc.double({ min: 1, max: 100, noNaN: true }) });
const flows = fc.double({ min: 1e-6, max: 0.3, noNaN: true });

test('no flow or no hose loses nothing', () => {
  expect(hoseLoss({ bore: 0.03, length: 20 }, air, 0)).toBe(0);
  expect(hoseLoss({ bore: 0.03, length: 0 }, air, 0.1)).toBe(0);
});

test('loss rises with flow, length and loading, and falls with bore', () => {
  fc.assert(fc.property(hoses, flows, (hose, flow) => {
    const loss = findHoseLoss(hose, air, flow);
    if (loss === undefined || loss < 1e-3) return;
    const [faster, longer, laden, wider] = [findHoseLoss(hose, air, flow * 1.05), findHoseLoss({ ...hose, length: hose.length * 1.05 }, air, flow), findHoseLoss({ ...hose, loading: 1.1 }, air, flow), findHoseLoss({ ...hose, bore: hose.bore * 1.05 }, air, flow)];
    // Undefined is more than the hose can pass: a loss beyond any.
    for (const more of [faster, longer, laden]) expect(more ?? Infinity).toBeGreaterThan(loss);
    expect(wider).toBeLessThan(loss);
  }));
});

test('a loss gives the flow back that made it', () => {
  fc.assert(fc.property(hoses, flows, fc.double({ min: 0, max: 5, noNaN: true }), (hose, flow, fittings) => {
    const fitted = { ...hose, fittings };
    const loss = findHoseLoss(fitted, air, flow);
    if (loss === undefined || loss < 0.1) return;
    expect(hoseFlow(fitted, air, loss) / flow).toBeCloseTo(1, 5);
  }));
});

test('a loss at a known flow gives the loading back', () => {
  fc.assert(fc.property(hoses, fc.double({ min: 0.01, max: 0.3, noNaN: true }), fc.double({ min: 0.5, max: 5, noNaN: true }), (hose, flow, loading) => {
    const loss = findHoseLoss({ ...hose, loading }, air, flow);
    if (loss === undefined || loss < 1) return;
    expect((hoseLoading(hose, air, flow, loss) ?? 0) / loading).toBeCloseTo(1, 5);
  }));
  expect(hoseLoading({ bore: 0.03, length: 20 }, air, 0.1, -5)).toBeUndefined();
});

test('a line well below the speed of sound loses as an incompressible one', () => {
  const hose = { bore: 0.05, length: 5 };
  const velocity = 0.02 / (((7e5 + 101325) / (287.05 * 293.15)) * (Math.PI / 4) * 0.05 ** 2);
  const reynolds = (0.02 / ((Math.PI / 4) * 0.05 ** 2)) * (0.05 / 1.813e-5);
  const expected = ((frictionFactor(reynolds, (0.0006 * 0.0254) / 0.05) * 5) / 0.05) * 0.5 * ((7e5 + 101325) / (287.05 * 293.15)) * velocity ** 2;
  expect(hoseLoss(hose, air, 0.02) / expected).toBeCloseTo(1, 2);
});

test('a flow the hose can’t pass is refused, not invented', () => {
  expect(findHoseLoss({ bore: 0.006, length: 150 }, air, 0.3)).toBeUndefined();
  expect(() => hoseLoss({ bore: 0.006, length: 150 }, air, 0.3)).toThrow(/more than this hose can pass/);
});

test('friction: 64/Re, Colebrook, and rising loss between', () => {
  expect(frictionFactor(1000, 0)).toBeCloseTo(0.064, 9);
  // Smooth pipe at Re 100,000 and a rough one at 1,000,000, relative roughness 0.001: Moody's chart.
  expect(frictionFactor(1e5, 0)).toBeCloseTo(0.018, 3);
  expect(frictionFactor(1e6, 0.001)).toBeCloseTo(0.0199, 3);
  fc.assert(fc.property(fc.double({ min: 100, max: 1e5, noNaN: true }), (re) => frictionFactor(re * 1.001, 1e-4) * 1.001 ** 2 > frictionFactor(re, 1e-4)));
});

test('abrasive adds its share', () => {
  expect(abrasiveLoading(0)).toBe(1);
  expect(abrasiveLoading()).toBeCloseTo(2.35, 9);
  expect(() => abrasiveLoading(-1)).toThrow(/abrasive ratio/);
});

test.each<[string, () => unknown]>([
  ['bore', () => hoseLoss({ bore: 0, length: 1 }, air, 0.1)],
  ['length', () => hoseLoss({ bore: 0.03, length: -1 }, air, 0.1)],
  ['flow', () => hoseLoss({ bore: 0.03, length: 1 }, air, NaN)],
  ['loading', () => hoseLoss({ bore: 0.03, length: 1, loading: 0 }, air, 0.1)],
  ['fittings', () => hoseLoss({ bore: 0.03, length: 1, fittings: -1 }, air, 0.1)],
  ['roughness', () => hoseLoss({ bore: 0.03, length: 1, roughness: 1 }, air, 0.1)],
  ['vacuum', () => hoseLoss({ bore: 0.03, length: 1 }, { ...air, inlet: gauge(-2e5) }, 0.1)],
  ['loss', () => hoseFlow({ bore: 0.03, length: 1 }, air, 9e5)],
  ['length', () => hoseFlow({ bore: 0.03, length: 0 }, air, 1e4)],
])('an impossible %s is refused by name', (name, run) => {
  expect(run).toThrow(RangeError);
  expect(run).toThrow(new RegExp(name));
});
