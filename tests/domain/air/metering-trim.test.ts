import { describe, expect, test } from 'vitest';
import { START_TURNS, type Trim, type TrimEffect, UNTRIMMED, enterTrim, nextTrim, objectToTrim } from '../../../domain/air/metering-trim.ts';

function follow(trim: Trim, seconds: readonly number[], pressure: (second: number) => number, flow: number | null = null): { trim: Trim; effects: TrimEffect[] } {
  const effects: TrimEffect[] = [];
  for (const second of seconds) {
    const step = nextTrim(trim, { atMs: second * 1000, pressure: pressure(second), flow });
    trim = step.trim;
    if (step.effect) effects.push(step.effect);
  }
  return { trim, effects };
}
const range = (from: number, to: number): number[] => Array.from({ length: to - from }, (_, at) => from + at);

describe('metering valve', () => {
  test('starts at one and a half turns; steps of a quarter at most, and none while settling', () => {
    expect(UNTRIMMED.turns).toBe(START_TURNS);
    expect(objectToTrim(UNTRIMMED, 1.75, 0)).toBeUndefined();
    expect(objectToTrim(UNTRIMMED, 2, 0)).toBe('step-too-large');
    expect(objectToTrim(UNTRIMMED, -1, 0)).toBe('not-on-the-valve');
    expect(objectToTrim(enterTrim(UNTRIMMED, 1.75, 0), 2, 10_000)).toBe('still-settling');
    expect(objectToTrim(enterTrim(UNTRIMMED, 1.75, 0), 2, 15_000)).toBeUndefined();
  });

  test('waits for the flow to settle, then tells once what the change did', () => {
    const before = follow(UNTRIMMED, range(0, 30), () => 95, 250).trim;
    // A dip that settles: only what follows it counts.
    const { effects, trim } = follow(enterTrim(before, 1.75, 30_000), range(30, 80), (second) => (second < 44 ? 60 : 92), 245);
    expect(effects).toEqual([{ from: 1.5, to: 1.75, pressure: expect.closeTo(-3, 6) as number, flow: expect.closeTo(-5, 6) as number }]);
    expect(trim.pending).toBeNull();
  });

  test('with nothing known before, or no flow measured, it says so', () => {
    expect(follow(enterTrim(UNTRIMMED, 1.75, 0), range(0, 40), () => 92).effects).toEqual([{ from: 1.5, to: 1.75, pressure: null, flow: null }]);
  });
});
