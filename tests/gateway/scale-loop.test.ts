import { describe, expect, it } from 'vitest';
import { scaleLoop } from '../../gateway/scale-loop.ts';
import { takeIn, type TakenIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

const NOW = 1_764_061_260_000;
const topics = new TopicMap(
  testSite(`${SITE_YAML}    points:
      breathing-air-co: { topic: gas/7, scale: 4-20mA, range: 0ppm..100ppm }
      pot-pressure: { topic: pot/json, payload: json, value: /ma, scale: 4-20mA, range: 0psi..200psi }
      steel-temperature: { topic: steel/a, unit: A, scale: 4-20mA, range: "-40degC..60degC" }
      air-line-dew-point: { topic: dew/f, scale: 4-20mA, range: "-40degF..140degF" }
points:
  barometric-pressure: { topic: baro, scale: 4-20mA, range: 800mbara..1100mbara }
`),
);
const take = (topic: string, payload: string): TakenIn => takeIn(topics, { topic, payload: Buffer.from(payload), retained: false }, NOW);

describe('NAMUR NE 43', () => {
  // Measuring from 3.8 to 20.5 mA, failed at or below 3.6 and at or above 21.0 (NE 43, seen in a secondary source).
  it.each<[number, number | null, string | null]>([
    [-5, null, 'loop-fault-low'],
    [0, null, 'loop-fault-low'],
    [3.6, null, 'loop-fault-low'],
    [3.61, -2.4375, 'loop-saturated'],
    [3.79, -1.3125, 'loop-saturated'],
    [3.8, -1.25, null],
    [4, 0, null],
    [12, 50, null],
    [20, 100, null],
    [20.5, 103.125, null],
    [20.51, 103.1875, 'loop-saturated'],
    [20.99, 106.1875, 'loop-saturated'],
    [21, null, 'loop-fault-high'],
    [400, null, 'loop-fault-high'],
  ])('%d mA', (milliamps, value, reason) => {
    const scaled = scaleLoop(milliamps, { low: 0, high: 100 });
    expect(scaled.reason).toBe(reason);
    if (value === null) expect(scaled.value).toBeNull();
    else expect(scaled.value).toBeCloseTo(value, 9);
  });

  it('has its middle at 12 mA, to the last digit', () => {
    for (const [low, high] of [[0, 100], [-40, 60], [800, 1100], [0, 6000]] as const) expect(scaleLoop(12, { low, high }).value).toBe((low + high) / 2);
  });
});

describe('a point on a 4-20 mA loop', () => {
  it('is scaled whatever the payload form, and converted', () => {
    expect(take('gas/7', '12').readings).toMatchObject([{ value: 50, quality: 'good', reason: null }]);
    expect(take('pot/json', '{"ma": 12}').readings).toMatchObject([{ value: 100, quality: 'good' }]);
    expect(take('baro', '12').readings).toMatchObject([{ value: 950 }]);
    expect(take('dew/f', '12').readings).toMatchObject([{ value: 10 }]);
  });

  it('may be sent in ampere, with the same limits', () => {
    expect(take('steel/a', '0.012').readings).toMatchObject([{ value: 10, quality: 'good' }]);
    expect(take('steel/a', '0.0036').readings).toMatchObject([{ value: null, reason: 'loop-fault-low' }]);
    expect(take('steel/a', '0.0038').readings).toMatchObject([{ quality: 'good' }]);
    expect(take('steel/a', '0.0205').readings).toMatchObject([{ quality: 'good' }]);
    expect(take('steel/a', '0.021').readings).toMatchObject([{ value: null, reason: 'loop-fault-high' }]);
  });

  it('keeps its number where the loop is saturated, uncertain; has none where it failed', () => {
    expect(take('gas/7', '20.8').readings).toMatchObject([{ value: 105, quality: 'uncertain', reason: 'loop-saturated' }]);
    expect(take('gas/7', '21.6')).toMatchObject({ readings: [{ value: null, quality: 'bad', reason: 'loop-fault-high' }], refusals: [] });
    expect(take('gas/7', '0')).toMatchObject({ readings: [{ value: null, quality: 'bad', reason: 'loop-fault-low' }], refusals: [] });
  });

  it('is still refused as nonsense where it is nonsense', () => {
    expect(take('gas/7', 'mA').refusals[0]?.reason).toBe('not-a-number');
  });
});
