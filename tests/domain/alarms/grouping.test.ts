import { describe, expect, it } from 'vitest';
import { isChattering, nextActivations } from '../../../domain/alarms/chattering.ts';
import { floodEndsAtMs, NO_FLOOD, nextFlood, USUAL_FLOOD } from '../../../domain/alarms/flood.ts';
import { groupAlarms, type StandingAlarm } from '../../../domain/alarms/group-alarms.ts';
import { ALARM_TABLE } from '../../../domain/alarms/table.ts';

const alarm = (id: string, name: string, owner: string, raisedAtMs: number): StandingAlarm => {
  const rule = ALARM_TABLE.find((entry) => entry.name === name);
  if (!rule) throw new Error(name);
  return { id, rule, owner, raisedAtMs };
};
const rigs = (compressor: string): string[] => (compressor === 'comp-1' ? ['rig-a', 'rig-b', 'rig-c', 'rig-d'] : []);

describe('groups', () => {
  it('put what followed a trip under it, though a rig was quicker, and leave CO alone', () => {
    const standing = [
      alarm('s1', 'supply-collapse', 'rig-a', 1_000),
      alarm('trip', 'compressor-tripped', 'comp-1', 1_500),
      ...['rig-b', 'rig-c', 'rig-d'].flatMap((rig, index) => [alarm(`c${index}`, 'supply-collapse', rig, 2_000 + index), alarm(`l${index}`, 'supply-pressure-low', rig, 7_000 + index), alarm(`n${index}`, 'nozzle-pressure-low', rig, 40_000 + index)]),
      alarm('co', 'co-high', 'rig-b', 60_000),
    ];
    const places = groupAlarms(standing, rigs);
    expect([...places.values()].every(({ group }) => group === 'trip')).toBe(true);
    expect(places.size).toBe(standing.length - 1);
    expect(places.get('s1')).toEqual({ group: 'trip', firstOut: true, order: 1, offsetMs: 0 });
    expect(places.get('trip')).toEqual({ group: 'trip', firstOut: false, order: 2, offsetMs: 500 });
    expect(places.has('co')).toBe(false);
  });

  it('do not take in what stood long before, or on another compressor’s rigs', () => {
    const places = groupAlarms([alarm('old', 'supply-pressure-low', 'rig-a', 0), alarm('trip', 'compressor-tripped', 'comp-1', 10_001), alarm('far', 'supply-collapse', 'rig-x', 10_002)], rigs);
    expect(places.size).toBe(0);
    expect(groupAlarms([alarm('just', 'supply-pressure-low', 'rig-a', 0), alarm('trip', 'compressor-tripped', 'comp-1', 10_000)], rigs).size).toBe(2);
  });

  it('mark the first out of alarms of one owner within ten seconds, with order and offset', () => {
    const places = groupAlarms([alarm('b', 'co-high', 'rig-a', 10_000), alarm('a', 'oxygen', 'rig-a', 0), alarm('c', 'humidity', 'rig-a', 10_001), alarm('d', 'oxygen', 'rig-b', 1)], rigs);
    expect(places.get('a')).toEqual({ group: 'a', firstOut: true, order: 1, offsetMs: 0 });
    expect(places.get('b')).toEqual({ group: 'a', firstOut: false, order: 2, offsetMs: 10_000 });
    expect([places.has('c'), places.has('d')]).toEqual([false, false]);
  });
});

// More than 10 in 10 min to fewer than 5; sources differ on "10 or more" (ISA-18.2, seen in a secondary source).
describe('floods', () => {
  const after = (count: number, settings = USUAL_FLOOD) => Array.from({ length: count }).reduce<typeof NO_FLOOD>((flood, _, index) => nextFlood(flood, settings, index * 1_000, 1), NO_FLOOD);

  it('start at the eleventh, or at the tenth where a site says so', () => {
    expect([after(10).sinceMs, after(11).sinceMs]).toEqual([null, 10_000]);
    expect([after(9, { ...USUAL_FLOOD, startsAbove: 9 }).sinceMs, after(10, { ...USUAL_FLOOD, startsAbove: 9 }).sinceMs]).toEqual([null, 9_000]);
  });

  it('end when fewer than five are left, and not before', () => {
    const flood = after(11);
    const ends = floodEndsAtMs(flood, USUAL_FLOOD) ?? 0;
    expect(ends).toBe(606_000);
    expect(nextFlood(flood, USUAL_FLOOD, ends - 1, 0)).toMatchObject({ sinceMs: 10_000 });
    expect(nextFlood(flood, USUAL_FLOOD, ends, 0)).toMatchObject({ sinceMs: null });
    expect(nextFlood(flood, USUAL_FLOOD, ends, 0).raisedAtMs).toHaveLength(4);
  });

  it('once started go on below the start, so that a list does not flicker', () => {
    expect(nextFlood(after(11), USUAL_FLOOD, 603_000, 0)).toMatchObject({ sinceMs: 10_000 });
    expect(nextFlood(after(7), USUAL_FLOOD, 7_000, 0)).toMatchObject({ sinceMs: null });
  });
});

describe('chatter', () => {
  it('is three activations in a minute, both sides', () => {
    const at = (...times: number[]) => times.reduce<number[]>((before, ms) => nextActivations(before, ms), []);
    expect(isChattering(at(0, 30_000, 60_000), 60_000)).toBe(true);
    expect(isChattering(at(0, 30_000, 60_001), 60_001)).toBe(false);
    expect(isChattering(at(0, 30_000), 30_000)).toBe(false);
    expect(isChattering(at(0, 30_000, 60_000), 120_001)).toBe(false);
  });
});
