import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { hoseFlow } from '../../../domain/air/hose-loss.ts';
import { WITHOUT_BASELINE, lineProfile } from '../../../domain/air/line-profile.ts';
import { type Line, type Segment, blastLine, solveLine } from '../../../domain/air/line.ts';
import { nozzleBore, nozzleMassFlow } from '../../../domain/air/nozzle-flow.ts';
import { massFlowOf } from '../../../domain/air/standard-air.ts';
import { STANDARD_ATMOSPHERE, absolute, gauge } from '../../../domain/quantity/pressure.ts';
import { chance } from './line-physics.ts';

const INCH = 0.0254;
const FOOT = 0.3048;
const PSI = 6894.757293168361;
const CFM = FOOT ** 3 / 60;
const atmosphere = STANDARD_ATMOSPHERE;
const separator: Segment = { kind: 'element', name: 'separator', loss: 2 * PSI, massFlow: massFlowOf(300 * CFM), pressure: absolute(115 * PSI) };

function rig(supplyPsi: number, nozzles: readonly number[], more: Partial<Line> = {}): Line {
  return {
    supply: gauge(supplyPsi * PSI),
    atmosphere,
    shared: [{ kind: 'hose', name: 'supply hose', bore: 2 * INCH, length: 50 * FOOT }, separator],
    outlets: nozzles.map((bore, at) => ({ name: `outlet ${at + 1}`, segments: [{ kind: 'hose', name: 'blast hose', bore: 1.25 * INCH, length: 50 * FOOT, loading: 2.3 }], nozzle: { bore: bore * INCH } })),
    ...more,
  };
}

describe('the line solved', () => {
  test('every loss adds up, every flow agrees with its nozzle, shared parts carry all of it', () => {
    fc.assert(fc.property(fc.double({ min: 5, max: 150, noNaN: true }), fc.array(fc.double({ min: 0.1, max: 0.5, noNaN: true }), { minLength: 1, maxLength: 3 }), fc.double({ min: 0, max: 0.02, noNaN: true }), (supply, nozzles, takenOff) => {
      const solved = solveLine(rig(supply, nozzles, { takenOff }));
      expect(solved.shared.reduce((sum, one) => sum + one.loss, 0)).toBeCloseTo(solved.supply - solved.machinePressure, 1);
      let flow = takenOff;
      solved.outlets.forEach((outlet, at) => {
        flow += outlet.massFlow;
        expect(outlet.nozzlePressure).toBeLessThanOrEqual(solved.machinePressure);
        const through = nozzleMassFlow({ bore: (nozzles[at] ?? 0) * INCH, pressure: outlet.nozzlePressure, atmosphere });
        expect(outlet.massFlow / through).toBeCloseTo(1, 4);
      });
      expect(solved.massFlow / flow).toBeCloseTo(1, 9);
    }));
  });

  test('bore → pressures → bore comes back', () => {
    fc.assert(fc.property(fc.double({ min: 0.15, max: 0.6, noNaN: true }), fc.double({ min: 40, max: 150, noNaN: true }), (bore, supply) => {
      const hose = { bore: 1.25 * INCH, length: 100 * FOOT, loading: 2 };
      const outlet = solveLine(blastLine({ supply: gauge(supply * PSI), atmosphere, hose, nozzle: { bore: bore * INCH } })).outlets[0];
      if (!outlet) throw new Error('no outlet');
      const massFlow = hoseFlow(hose, { inlet: gauge(supply * PSI), atmosphere }, supply * PSI - outlet.nozzlePressure);
      expect(nozzleBore({ massFlow, pressure: outlet.nozzlePressure, atmosphere }) / INCH).toBeCloseTo(bore, 4);
    }));
  });

  test('a worn nozzle lowers its pressure and raises every loss; a longer hose lowers the flow', () => {
    const [fresh, worn] = [solveLine(rig(110, [7 / 16])), solveLine(rig(110, [1 / 2]))];
    fresh.shared.forEach((one, at) => expect(worn.shared[at]?.loss).toBeGreaterThan(one.loss));
    expect(worn.outlets[0]?.nozzlePressure).toBeLessThan(fresh.outlets[0]?.nozzlePressure ?? 0);
    const hose = { bore: 1.25 * INCH, length: 50 * FOOT };
    const short = solveLine(blastLine({ supply: gauge(100 * PSI), atmosphere, hose, nozzle: { bore: 0.4 * INCH } }));
    const long = solveLine(blastLine({ supply: gauge(100 * PSI), atmosphere, hose: { ...hose, length: 150 * FOOT }, nozzle: { bore: 0.4 * INCH } }));
    expect(long.massFlow).toBeLessThan(short.massFlow);
  });

  test('without a hose the nozzle has the supply; without pressure nothing flows', () => {
    const nozzle = { bore: 0.4 * INCH };
    const bare = solveLine(blastLine({ supply: gauge(100 * PSI), atmosphere, hose: { bore: INCH, length: 0 }, nozzle }));
    expect(bare.outlets[0]?.nozzlePressure).toBeCloseTo(100 * PSI, 3);
    expect(solveLine(rig(0, [7 / 16])).massFlow).toBe(0);
    expect(solveLine(rig(-1, [7 / 16])).massFlow).toBe(0);
  });

  test('a source asked for more than it is rated for sags until the demand fits', () => {
    const ratedFlow = massFlowOf(250 * CFM);
    const sagging = solveLine(rig(100, [7 / 16, 3 / 8], { ratedFlow }));
    expect(sagging.sags).toBe(true);
    expect(sagging.supply).toBeLessThan(80 * PSI);
    expect(sagging.massFlow / ratedFlow).toBeCloseTo(1, 3);
    expect(solveLine(rig(100, [3 / 8], { ratedFlow })).sags).toBe(false);
  });

  test('a hose far too small throttles rather than breaks', () => {
    const throttled = solveLine(blastLine({ supply: gauge(100 * PSI), atmosphere, hose: { bore: 0.25 * INCH, length: 300 }, nozzle: { bore: INCH } }));
    expect(throttled.outlets[0]?.nozzlePressure).toBeLessThan(PSI);
    expect(throttled.massFlow).toBeGreaterThan(0);
  });

  test.each<[string, () => unknown]>([
    ['vacuum', () => solveLine(rig(-20, [0.4]))],
    ['bore', () => solveLine(rig(100, [0]))],
    ['flow taken off', () => solveLine(rig(100, [0.4], { takenOff: -1 }))],
    ['flow taken off', () => solveLine(rig(100, [0.4], { takenOff: 1, ratedFlow: 0.5 }))],
    ['friction', () => lineProfile(rig(100, [0.4]), { ...WITHOUT_BASELINE, friction: -1 })],
  ])('an impossible %s is refused by name', (name, run) => {
    expect(run).toThrow(RangeError);
    expect(run).toThrow(new RegExp(name));
  });
});

describe('the expected profile', () => {
  test('falls from place to place and grows less sure of itself', () => {
    const { shared, outlets } = lineProfile(rig(110, [7 / 16]));
    const places = [...shared, ...(outlets[0]?.places.slice(1) ?? [])];
    expect(places.map((one) => one.name)).toEqual(['supply', 'supply hose', 'separator', 'blast hose']);
    places.slice(1).forEach((one, at) => {
      expect(one.pressure).toBeLessThan(places[at]?.pressure ?? 0);
      // Through the hoses the gauge's error fades while friction's comes in.
      expect(one.standardError).toBeGreaterThan(0.3 * PSI);
    });
    expect(places[0]?.standardError).toBeCloseTo(WITHOUT_BASELINE.supply, 6);
  });

  test('its standard error is what happens when friction, coefficient and gauge really vary', () => {
    const line = rig(110, [7 / 16]);
    const expected = lineProfile(line).outlets[0]?.places.at(-1);
    const { normal } = chance(4);
    let squares = 0;
    const cases = 600;
    for (let i = 0; i < cases; i++) {
      const friction = (segment: Segment, by: number): Segment => (segment.kind === 'hose' ? { ...segment, loading: (segment.loading ?? 1) * by } : { ...segment, loss: segment.loss * by });
      const varied: Line = {
        ...line,
        supply: gauge(line.supply + normal(WITHOUT_BASELINE.supply)),
        shared: line.shared.map((one) => friction(one, 1 + normal(WITHOUT_BASELINE.friction))),
        outlets: line.outlets.map((outlet) => ({ ...outlet, segments: outlet.segments.map((one) => friction(one, 1 + normal(WITHOUT_BASELINE.friction))), nozzle: { ...outlet.nozzle, coefficient: 0.8 * (1 + normal(WITHOUT_BASELINE.coefficient)) } })),
      };
      squares += ((solveLine(varied).outlets[0]?.nozzlePressure ?? NaN) - (expected?.pressure ?? NaN)) ** 2;
    }
    expect(Math.sqrt(squares / cases) / (expected?.standardError ?? NaN)).toBeGreaterThan(0.9);
    expect(Math.sqrt(squares / cases) / (expected?.standardError ?? NaN)).toBeLessThan(1.1);
  });
});
