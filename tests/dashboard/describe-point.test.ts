import { describe, expect, it } from 'vitest';
import { formatAge } from '../../dashboard/format/age.ts';
import { compassPoint } from '../../dashboard/format/compass-point.ts';
import { type Reader, describePoint } from '../../dashboard/format/describe-point.ts';
import { formatNumber } from '../../dashboard/format/units.ts';
import { en } from '../../dashboard/words/en.ts';
import { notGood, point } from './support/fabricated-site.ts';

const us: Reader = { system: 'us', words: en, nowMs: 100_000 };
const si: Reader = { ...us, system: 'si' };

describe('a value on screen', () => {
  it('has number, unit and the distance to its nearest limit', () => {
    const view = describePoint(point('rig-a', 'supply-pressure', 105.2, 99_900, [125, 'high']), us);
    expect(view).toEqual({ number: '105', symbol: 'psi', isGood: true, reason: null, margin: '20 below limit 125', shortMargin: '20 below 125', isPast: false, age: null });
  });

  it.each([
    [9.6, '9', '1 below limit 10', false],
    [9.96, '9', '1 below limit 10', false],
    [9.996, '9', '1 below limit 10', false],
    [9.4, '9', '1 below limit 10', false],
    [10, '10', 'at limit 10', false],
    [10.4, '10', 'at limit 10', true],
    [12.5, '13', '3 over limit 10', true],
  ])('never rounds %s ppm across the limit', (ppm, number, margin, isPast) => {
    expect(describePoint(point('rig-a', 'breathing-air-co', ppm, 100_000, [10, 'high']), us)).toMatchObject({ number, margin, isPast });
  });

  it('reckons the distance from the number that stands there', () => {
    const view = describePoint(point('rig-a', 'nozzle-pressure', 95.5, 100_000, [85, 'low']), us);
    expect([view.number, view.margin]).toEqual(['96', '11 above limit 85']);
  });

  it('reads in the person’s units, differences of temperature as differences', () => {
    expect(describePoint(point('rig-a', 'supply-pressure', 100, 100_000, [125, 'high']), si)).toMatchObject({ number: '6.9', symbol: 'bar', margin: '1.7 below limit 8.6' });
    expect(describePoint(point('rig-a', 'steel-margin', 5, 100_000, [3, 'low']), us)).toMatchObject({ number: '9.0', symbol: '°F', margin: '3.6 above limit 5.4' });
    expect(describePoint(point('rig-a', 'steel-temperature', 0, 100_000), us)).toMatchObject({ number: '32', symbol: '°F' });
  });

  it('carries its age once older than one expected period, by the sensor’s own pace', () => {
    expect(describePoint(point('rig-a', 'breathing-air-co', 3, 97_000), us).age).toBe('3 s old');
    expect(describePoint(point('rig-a', 'steel-temperature', 18, 91_000), us).age).toBeNull();
    expect(describePoint(point('rig-a', 'steel-margin', 4, 91_000), us).age).toBeNull();
    expect(describePoint(point('rig-a', 'steel-margin', 4, 80_000), us).age).toBe('20 s old');
  });

  it('says why it is not good, with its age and without a margin that would no longer be true', () => {
    const view = describePoint({ ...notGood(point('rig-a', 'breathing-air-co', 3, 40_000, [10, 'high']), 'stale') }, us);
    expect(view).toMatchObject({ isGood: false, reason: 'sensor silent', age: '60 s old', margin: null });
  });

  it('is not good without a value, whatever its quality says', () => {
    expect(describePoint({ ...point('rig-a', 'breathing-air-co', null, 100_000) }, us)).toMatchObject({ isGood: false, number: null });
    expect(describePoint({ ...point('rig-a', 'breathing-air-co', 3, 100_000), quality: 'uncertain' }, us)).toMatchObject({ isGood: false, reason: 'not certain' });
  });

  it('says that there is no sensor', () => {
    expect(describePoint(undefined, us)).toMatchObject({ number: null, reason: 'no sensor' });
  });
});

describe('formatting', () => {
  it('writes a real minus sign, and none before zero', () => {
    expect(formatNumber(-11.4, 0)).toBe('−11');
    expect(formatNumber(-0.2, 0)).toBe('0');
  });

  it.each([[0, '0 s'], [119_900, '119 s'], [120_000, '2 min'], [7_199_000, '119 min'], [7_200_000, '2 h 00 min'], [9_000_000, '2 h 30 min']])('says an age of %s ms as %s', (ms, text) => {
    expect(formatAge(ms, en)).toBe(text);
  });

  it.each([[0, 'N'], [359, 'N'], [11, 'N'], [12, 'NNE'], [268, 'W']])('names a direction of %s° %s', (degrees, name) => {
    expect(compassPoint(degrees, en.climate.directions)).toBe(name);
  });
});
