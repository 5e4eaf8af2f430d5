import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Nozzle, isChoked, nozzleBore, nozzleMassFlow } from '../../../domain/air/nozzle-flow.ts';
import { massFlowOf, standardVolumeFlow } from '../../../domain/air/standard-air.ts';
import { STANDARD_ATMOSPHERE, absolute, gauge } from '../../../domain/quantity/pressure.ts';

const PSI = 6894.757293168361;
const bores = fc.double({ min: 0.001, max: 0.03, noNaN: true });
const pressures = fc.double({ min: 100, max: 1.2e6, noNaN: true }).map(gauge);
const at = (bore: number, pressure: number): Nozzle => ({ bore, pressure: gauge(pressure), atmosphere: STANDARD_ATMOSPHERE });

test('flow rises with pressure and with the square of the bore', () => {
  fc.assert(fc.property(bores, pressures, fc.double({ min: 1, max: 1e5, noNaN: true }), (bore, pressure, more) => {
    expect(nozzleMassFlow(at(bore, pressure + more))).toBeGreaterThan(nozzleMassFlow(at(bore, pressure)));
    expect(nozzleMassFlow(at(2 * bore, pressure)) / nozzleMassFlow(at(bore, pressure))).toBeCloseTo(4, 9);
  }));
});

test('bore → flow → bore comes back, choked or not', () => {
  fc.assert(fc.property(bores, pressures, (bore, pressure) => {
    const massFlow = nozzleMassFlow(at(bore, pressure));
    expect(nozzleBore({ massFlow, pressure, atmosphere: STANDARD_ATMOSPHERE }) / bore).toBeCloseTo(1, 9);
  }));
});

test('choked flow joins unchoked flow without a step', () => {
  const edge = STANDARD_ATMOSPHERE / 0.5282817877171742 - STANDARD_ATMOSPHERE;
  expect(isChoked(gauge(edge + 1), STANDARD_ATMOSPHERE)).toBe(true);
  expect(isChoked(gauge(edge - 1), STANDARD_ATMOSPHERE)).toBe(false);
  expect(nozzleMassFlow(at(0.01, edge + 1)) / nozzleMassFlow(at(0.01, edge - 1))).toBeCloseTo(1, 4);
});

test('nothing flows at the atmosphere or below', () => {
  expect(nozzleMassFlow(at(0.01, 0))).toBe(0);
  expect(nozzleMassFlow(at(0.01, -5000))).toBe(0);
});

test('hot air is lighter, thin air around changes nothing while choked at the same absolute pressure', () => {
  expect(nozzleMassFlow({ ...at(0.01, 6e5), temperature: 340 })).toBeLessThan(nozzleMassFlow(at(0.01, 6e5)));
  const high = absolute(80_000);
  expect(nozzleMassFlow({ bore: 0.01, pressure: gauge(7e5 - 80_000), atmosphere: high })).toBeCloseTo(nozzleMassFlow(at(0.01, 7e5 - STANDARD_ATMOSPHERE)), 12);
});

test('standard volume and mass come back; 1 lb/min is 13.3 cfm', () => {
  expect(standardVolumeFlow(0.45359237 / 60) / (0.3048 ** 3 / 60)).toBeCloseTo(1 / 0.075, 9);
  expect(massFlowOf(standardVolumeFlow(0.123))).toBeCloseTo(0.123, 12);
});

test.each<[string, () => unknown]>([
  ['bore', () => nozzleMassFlow(at(0, 7e5))],
  ['bore', () => nozzleMassFlow(at(NaN, 7e5))],
  ['vacuum', () => nozzleMassFlow(at(0.01, -2e5))],
  ['coefficient', () => nozzleMassFlow({ ...at(0.01, 7e5), coefficient: 0 })],
  ['temperature', () => nozzleMassFlow({ ...at(0.01, 7e5), temperature: -5 })],
  ['flow', () => nozzleBore({ massFlow: 0, pressure: gauge(100 * PSI), atmosphere: STANDARD_ATMOSPHERE })],
  ['pressure', () => nozzleBore({ massFlow: 0.1, pressure: gauge(0), atmosphere: STANDARD_ATMOSPHERE })],
  ['flow', () => standardVolumeFlow(-1)],
])('an impossible %s is refused by name', (name, run) => {
  expect(run).toThrow(RangeError);
  expect(run).toThrow(new RegExp(name));
});
