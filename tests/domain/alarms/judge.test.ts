import { describe, expect, it } from 'vitest';
import { judge, type JudgedValue, type Verdict } from '../../../domain/alarms/judge.ts';
import { ALARM_TABLE } from '../../../domain/alarms/table.ts';
import { needPointKind } from '../../../domain/points/catalogue.ts';

function condition(name: string) {
  const rule = ALARM_TABLE.find((entry) => entry.name === name);
  if (!rule) throw new Error(name);
  return { condition: rule.condition, kind: needPointKind(rule.point ?? '') };
}
const good = (value: number): JudgedValue => ({ value, quality: 'good', reason: null });

describe('CO high', () => {
  const { condition: co, kind } = condition('co-high');
  // 29 CFR 1910.134(i)(1)(ii)(C): at most 10 ppm. Alarm at a displayed 10: common practice, no source.
  it.each<[string, JudgedValue, Verdict]>([
    ['9.9 is below', good(9.9), 'hold'],
    ['a displayed 10 raises', good(10), 'alarm'],
    ['5.0 does not clear yet', good(5), 'hold'],
    ['4.9 clears', good(4.9), 'clear'],
    ['bad is not compared', { value: 40, quality: 'bad', reason: 'stale' }, 'hold'],
    ['uncertain may raise', { value: 12, quality: 'uncertain', reason: 'loop-saturated' }, 'alarm'],
    ['uncertain never clears', { value: 1, quality: 'uncertain', reason: 'loop-saturated' }, 'hold'],
    ['a wrong clock says nothing against the value', { value: 1, quality: 'uncertain', reason: 'clock-suspect' }, 'clear'],
    ['over range is the danger it shows', { value: 2500, quality: 'bad', reason: 'out-of-range' }, 'alarm'],
    ['under range is not', { value: -40, quality: 'bad', reason: 'out-of-range' }, 'hold'],
    ['no value is not compared', { value: null, quality: 'bad', reason: 'undecodable' }, 'hold'],
    ['NaN is not compared', { value: Number.NaN, quality: 'good', reason: null }, 'hold'],
  ])('%s', (_name, seen, expected) => {
    expect(judge(co, 10, kind, seen)).toBe(expected);
  });
});

describe('supply pressure', () => {
  it('is low below 50 and clear from 53', () => {
    const { condition: low, kind } = condition('supply-pressure-low');
    expect([49.9, 50, 52.9, 53].map((value) => judge(low, 50, kind, good(value)))).toEqual(['alarm', 'hold', 'hold', 'clear']);
  });

  it('is above the vessel’s rating only above it', () => {
    const { condition: high, kind } = condition('above-vessel-rating');
    expect([125, 125.1, 123.1, 123].map((value) => judge(high, 125, kind, good(value)))).toEqual(['hold', 'alarm', 'hold', 'clear']);
  });
});

it('an unknown value is an alarm of its own; one not heard yet is given its time', () => {
  const { condition: unknown, kind } = condition('co-unknown');
  expect(judge(unknown, null, kind, { value: 3, quality: 'bad', reason: 'stale' })).toBe('alarm');
  expect(judge(unknown, null, kind, { value: null, quality: 'bad', reason: 'never-seen' })).toBe('hold');
  expect(judge(unknown, null, kind, good(3))).toBe('clear');
});

it('no response to bad air begins with the hood or the compressor', () => {
  for (const rule of ALARM_TABLE.filter((entry) => entry.isAir)) {
    expect(rule.response.toLowerCase()).not.toMatch(/^(take off|hood off|stop the compressor)/);
    const walk = rule.response.search(/clean air|out/);
    const compressor = rule.response.search(/compressor/);
    if (compressor >= 0) expect(walk).toBeLessThan(compressor);
  }
});
