import { describe, expect, it } from 'vitest';
import { type AlarmRecord, alarmMetrics } from '../../../domain/alarms/metrics.ts';

const MINUTE = 60_000;
const HOUR = 3_600_000;
const DAY = 86_400_000;

const base = { name: 'supply-pressure-low', owner: 'rig-a', point: 'supply-pressure', priority: 'medium' } as const;
const call = (atMs: number, id: string, rest: Partial<AlarmRecord> = {}): AlarmRecord => ({ ...base, id, atMs, what: 'raised', from: 'normal', to: 'unacknowledged', ...rest });
const ack = (atMs: number, id: string, rest: Partial<AlarmRecord> = {}): AlarmRecord => ({ ...base, id, atMs, what: 'acknowledged', from: 'unacknowledged', to: 'acknowledged', ...rest });
const back = (atMs: number, id: string): AlarmRecord => ({ ...base, id, atMs, what: 'returned', from: 'acknowledged', to: 'normal' });
const every = (count: number, gapMs: number, fromMs = 0): AlarmRecord[] => Array.from({ length: count }, (_, index) => call(fromMs + index * gapMs, `a${fromMs}-${index}`, { name: `alarm-${index}` }));

// Measures of ISA-18.2-2016 and EEMUA 191, seen in a secondary source.
describe('alarm metrics', () => {
  it('of a period without alarms are all nought, and have no median', () => {
    expect(alarmMetrics([], 0, DAY)).toMatchObject({ annunciated: 0, perHour: 0, peakTenMin: 0, inFlood: 0, topTenShare: 0, chattering: [], stale: [], medianToAcknowledgeMs: null });
  });

  it('count calls over the period, and nothing outside of it', () => {
    const metrics = alarmMetrics([call(-1, 'before'), ...every(6, HOUR), call(6 * HOUR, 'after')], 0, 6 * HOUR);
    expect(metrics).toMatchObject({ annunciated: 6, perHour: 1, perDay: 24, peakHour: 1 });
    expect(metrics.perTenMin).toBeCloseTo(1 / 6);
  });

  it('count an alarm that is announced anew, and not what a person does to it', () => {
    const records = [call(0, 'a'), ack(MINUTE, 'a'), back(2 * MINUTE, 'a'), call(3 * MINUTE, 'b'), { ...call(4 * MINUTE, 'b'), what: 'unshelved', from: 'shelved' } satisfies AlarmRecord, { ...call(5 * MINUTE, 'b'), what: 'shelved', to: 'shelved', from: 'unacknowledged' } satisfies AlarmRecord];
    expect(alarmMetrics(records, 0, HOUR)).toMatchObject({ annunciated: 3, acknowledged: 1, shelved: 1 });
  });

  it('find the busiest ten minutes wherever they begin', () => {
    // Six before the full ten minutes and six after: twelve in one stretch, six in each slot.
    const records = [...every(6, 10_000, 9 * MINUTE), ...every(6, 10_000, 10 * MINUTE)];
    expect(alarmMetrics(records, 0, HOUR)).toMatchObject({ peakTenMin: 12, busySlots: 0, peakMinute: 6 });
  });

  it('call more than ten in ten minutes a flood, exactly ten none, and one above its own number where a site says so', () => {
    expect(alarmMetrics(every(10, 10_000), 0, HOUR).floods).toBe(0);
    expect(alarmMetrics(every(11, 10_000), 0, HOUR).floods).toBe(1);
    expect(alarmMetrics(every(10, 10_000), 0, HOUR, { startsAbove: 9, endsBelow: 5, windowMs: 600_000 }).floods).toBe(1);
  });

  it('end a flood when fewer than five are left within ten minutes', () => {
    // Eleven, one every 10 s: it begins at 100 s and ends when the seventh, of 60 s, is ten minutes old.
    expect(alarmMetrics(every(11, 10_000), 0, HOUR).inFlood * HOUR).toBe(60_000 + 600_000 - 100_000);
  });

  it('name what is most frequent, with its share, and split by priority', () => {
    const records = [...every(12, 20 * MINUTE), call(1, 'x1', { name: 'co-high', priority: 'critical' }), call(2, 'x2', { name: 'co-high', priority: 'critical' })];
    const metrics = alarmMetrics(records, 0, DAY);
    expect(metrics.mostFrequent[0]).toEqual({ name: 'co-high', owner: 'rig-a', count: 2 });
    expect(metrics.mostFrequent).toHaveLength(10);
    expect(metrics.topTenShare).toBeCloseTo(11 / 14);
    expect(metrics.byPriority).toEqual({ critical: 2, high: 0, medium: 12, low: 0 });
  });

  it('find chatter: three of one alarm within a minute', () => {
    expect(alarmMetrics([call(0, 'a'), call(30_000, 'b'), call(60_000, 'c')], 0, HOUR).chattering).toEqual([{ name: 'supply-pressure-low', owner: 'rig-a', activations: 3 }]);
    expect(alarmMetrics([call(0, 'a'), call(30_000, 'b'), call(60_001, 'c')], 0, HOUR).chattering).toEqual([]);
    expect(alarmMetrics([call(0, 'a'), call(1, 'b', { owner: 'rig-b' }), call(2, 'c')], 0, HOUR).chattering).toEqual([]);
  });

  it('find what has stood for more than a day, though it was raised before the period', () => {
    const records = [call(0, 'old'), ack(1, 'old'), call(DAY, 'new'), call(DAY + 1, 'gone'), back(DAY + HOUR, 'gone')];
    expect(alarmMetrics(records, DAY, 2 * DAY).stale.map(({ id }) => id)).toEqual(['old']);
    expect(alarmMetrics(records, 0, DAY).stale).toEqual([]);
  });

  it('tell how long people took', () => {
    const records = [call(0, 'a'), ack(10_000, 'a'), call(20_000, 'b'), ack(50_000, 'b'), call(60_000, 'c'), ack(160_000, 'c'), call(200_000, 'd')];
    expect(alarmMetrics(records, 0, HOUR)).toMatchObject({ acknowledged: 3, medianToAcknowledgeMs: 30_000, slowestToAcknowledgeMs: 100_000 });
  });
});
