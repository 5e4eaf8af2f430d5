import { expect, test } from 'vitest';
import type { SegmentPart } from '../../../domain/air/likely-cause.ts';
import { lineProfile } from '../../../domain/air/line-profile.ts';
import { segmentResiduals } from '../../../domain/air/segment-residuals.ts';
import { STANDARD_ATMOSPHERE, absolute, gauge } from '../../../domain/quantity/pressure.ts';

const PSI = 6894.757293168361;
const PARTS: readonly SegmentPart[] = ['supply-hose', 'separator', 'machine-and-blast-hose'];
const { shared, outlets } = lineProfile({
  supply: gauge(110 * PSI),
  atmosphere: STANDARD_ATMOSPHERE,
  shared: [
    { kind: 'hose', name: 'supply hose', bore: 0.0508, length: 15 },
    { kind: 'element', name: 'separator', loss: 2 * PSI, massFlow: 0.15, pressure: absolute(120 * PSI) },
  ],
  outlets: [{ name: 'outlet', segments: [{ kind: 'hose', name: 'blast hose', bore: 0.03175, length: 30, loading: 2.3 }], nozzle: { bore: 0.0111 } }],
});
const places = [...shared.slice(1), ...(outlets[0]?.places.slice(1) ?? [])];

test('gauges that read as expected leave nothing over, one that reads low shows up where it is', () => {
  const asExpected = segmentResiduals(gauge(110 * PSI), places.map((place, at) => ({ place, part: PARTS[at] ?? 'separator', measured: place.pressure })), 0.3 * PSI);
  expect(asExpected.map((one) => one.part)).toEqual(PARTS);
  for (const one of asExpected) expect(one.measured - one.expected).toBeCloseTo(0, 3);
  const low = segmentResiduals(gauge(110 * PSI), places.map((place, at) => ({ place, part: PARTS[at] ?? 'separator', measured: gauge(place.pressure - (at === 2 ? 5 * PSI : 0)) })), 0.3 * PSI);
  expect((low[2]?.measured ?? 0) - (low[2]?.expected ?? 0)).toBeCloseTo(5 * PSI, 3);
  expect(low[1]).toEqual(asExpected[1]);
});

test('a place without a gauge counts with the next one that has one', () => {
  const found = segmentResiduals(gauge(110 * PSI), places.map((place, at) => ({ place, part: PARTS[at] ?? 'separator', measured: at < 2 ? null : place.pressure })), 0.3 * PSI);
  expect(found).toHaveLength(1);
  expect(found[0]?.part).toBe('machine-and-blast-hose');
  expect(found[0]?.measured).toBeCloseTo(110 * PSI - (places[2]?.pressure ?? 0), 3);
  expect(found[0]?.standardError).toBeGreaterThan(0.3 * Math.SQRT2 * PSI);
});

test('an error of the supply gauge makes no loss unsure, friction does', () => {
  expect(places[0]?.lossStandardError).toBeLessThan(places[0]?.standardError ?? 0);
  expect(places[2]?.lossStandardError).toBeGreaterThan(0.1 * (places[2]?.loss ?? 0));
  expect(() => segmentResiduals(gauge(1e5), [], 0)).toThrow(/gauge error/);
});
