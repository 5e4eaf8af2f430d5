import { expect, it } from 'vitest';
import type { Expectation } from './expectations.ts';
import { type Walked, walkPath } from './walk-path.ts';

/** What else the record must show of a scenario, beside the alarms. */
export type Also = Readonly<Record<string, (walked: Walked) => Promise<void>>>;

/** One test a scenario: what must be raised is, in time, and nothing else sounds. */
export function expectPaths(expectations: readonly Expectation[], also: Also = {}): void {
  it.each(expectations)('$scenario', async (expected) => {
    const walked = await walkPath(expected);
    const { announced, faults, liveFromMs } = walked;
    for (const { alarm, of, withinS } of expected.raises) {
      const fault = faults.find(({ cause }) => cause === of);
      if (of !== null && !fault) throw new Error(`${expected.scenario} does nothing wrong that is called ${of}`);
      const onsetS = fault ? (fault.fromMs - liveFromMs) / 1000 : expected.fromS;
      const found = announced.find(({ alarm: other, s }) => other === alarm && s >= onsetS);
      expect(found, `${alarm} was not announced after ${of ?? 'the beginning'}`).toBeDefined();
      expect((found?.s ?? 0) - onsetS, `${alarm}: seconds after ${of ?? 'the beginning'}`).toBeLessThanOrEqual(withinS);
    }
    const named = new Set([...expected.raises.map(({ alarm }) => alarm), ...(expected.may ?? [])]);
    const false_ = announced.filter(({ alarm, priority }) => priority !== 'low' && !named.has(alarm));
    expect(false_.map(({ alarm, s }) => `${alarm} at ${Math.round(s)} s`)).toEqual([]);
    await also[expected.scenario]?.(walked);
  }, 300_000);
}
