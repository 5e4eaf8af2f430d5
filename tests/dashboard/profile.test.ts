import { describe, expect, it } from 'vitest';
import { type Frame, layOutSpots, layOutStretches, topOfScale, yOf } from '../../dashboard/watch/profile/profile-geometry.ts';
import { readLine } from '../../dashboard/watch/profile/read-line.ts';
import { lookFor, reckonLine } from '../../dashboard/watch/profile/reckon.ts';
import { scaleTicks } from '../../dashboard/watch/profile/scale-ticks.ts';
import { pointKey } from '../../domain/points/reading.ts';
import type { LiveAlarm, LivePoint } from '../../domain/wire/live.ts';
import { fabricatedAlarm, fabricatedSite, notGood, point } from './support/fabricated-site.ts';

const rig = fabricatedSite(0).rigs[0]!;
const frame: Frame = { widthPx: 1000, heightPx: 140, leftPx: 100, rightPx: 200, topPsi: 140 };
const compressor = point('comp-1', 'compressor-pressure', 112, 0);
const supply = point('rig-a', 'supply-pressure', 105, 0);
const nozzle = point('rig-a', 'nozzle-pressure', 81, 0);
const blasting = point('rig-a', 'blasting', 1, 0);
const read = (points: LivePoint[], alarms: LiveAlarm[] = []) => readLine(rig, new Map(points.map((p) => [pointKey(p.owner, p.id), p])), alarms);
const nozzleLow = fabricatedAlarm({ id: 'n', name: 'nozzle-pressure-low', title: 'Nozzle pressure low', point: 'nozzle-pressure', priority: 'medium', raisedAtMs: 0, value: 81, limit: 85 });

describe('pressure along the line', () => {
  it('joins measured neighbours and says what each stretch takes', () => {
    const line = read([compressor, supply, nozzle, blasting]);
    expect(line.segments.map((s) => [s.from, s.to, s.kind, s.lossPsi])).toEqual([
      ['compressor', 'machine', 'joined', 7],
      ['machine', 'nozzle', 'joined', 24],
    ]);
  });

  it('never joins across a missing or silent sensor', () => {
    for (const points of [[compressor, nozzle, blasting], [compressor, notGood(supply, 'stale'), nozzle, blasting]]) {
      const line = read(points);
      expect(line.segments.map((s) => s.kind)).toEqual(['open', 'open']);
      expect(layOutStretches(line, frame).every((s) => s.y1 === null && s.y2 === null)).toBe(true);
      expect(layOutSpots(line, frame).find((s) => s.id === 'machine')?.y).toBeNull();
    }
  });

  it('calls no difference a loss while the handle is released', () => {
    const line = read([compressor, supply, { ...nozzle, value: 0 }, { ...blasting, value: 0 }]);
    expect(line.segments.at(-1)).toMatchObject({ kind: 'shut', lossPsi: null });
  });

  it('shows the separator only where it is measured', () => {
    expect(read([compressor, supply]).stations.map((s) => s.id)).toEqual(['compressor', 'machine', 'nozzle']);
    expect(read([compressor, point('rig-a', 'separator-pressure', 108, 0), supply]).stations.map((s) => s.id)).toEqual(['compressor', 'separator', 'machine', 'nozzle']);
  });

  it('names the hose for a low nozzle that is below what the supply would give', () => {
    const line = read([compressor, supply, nozzle, blasting, point('rig-a', 'expected-nozzle-pressure', 95, 0)], [nozzleLow]);
    expect(line.segments.map((s) => s.alarm?.id ?? null)).toEqual([null, 'n']);
  });

  it('names the supply side where the nozzle has what the supply gives', () => {
    const line = read([compressor, { ...supply, value: 88 }, { ...nozzle, value: 80 }, blasting, point('rig-a', 'expected-nozzle-pressure', 81, 0)], [nozzleLow]);
    expect(line.segments.map((s) => s.alarm?.id ?? null)).toEqual(['n', null]);
  });

  it('names nothing once the pressure is back, though the alarm stands on for its off-delay', () => {
    const back = [compressor, supply, { ...nozzle, value: 94 }, blasting, point('rig-a', 'expected-nozzle-pressure', 95, 0)];
    const lineLoss = fabricatedAlarm({ id: 'l', name: 'line-loss-high', title: 'Line loss high', point: 'line-loss', priority: 'medium', raisedAtMs: 0, value: 15, limit: 10 });
    for (const alarm of [nozzleLow, lineLoss]) expect(read(back, [alarm]).segments.map((s) => s.alarm)).toEqual([null, null]);
    expect(read([compressor, { ...supply, value: 88 }, { ...nozzle, value: 80 }, blasting, point('rig-a', 'expected-nozzle-pressure', 81, 0)], [lineLoss]).segments.map((s) => s.alarm)).toEqual([null, null]);
    const supplyLow = fabricatedAlarm({ id: 's', name: 'supply-pressure-low', title: 'Supply pressure low', point: 'supply-pressure', priority: 'high', raisedAtMs: 0, value: 40, limit: 50 });
    expect(read(back, [supplyLow]).segments.map((s) => s.alarm)).toEqual([null, null]);
    expect(read([compressor, { ...supply, value: 42 }, nozzle, blasting], [supplyLow]).segments.map((s) => s.alarm?.id ?? null)).toEqual(['s', null]);
    // What the nozzle has now is not known: what the alarm itself saw counts.
    expect(read([compressor, supply, notGood(nozzle, 'stale'), blasting], [nozzleLow]).segments.map((s) => s.alarm?.id ?? null)).toEqual([null, 'n']);
  });

  it('names nothing for an alarm that is over, or that only says a sensor is lost', () => {
    for (const alarm of [{ ...nozzleLow, state: 'returned-to-normal-unacknowledged' as const }, { ...nozzleLow, value: null, limit: null }]) {
      expect(read([compressor, supply, nozzle, blasting], [alarm]).segments.every((s) => s.alarm === null)).toBe(true);
    }
  });
});

describe('profile geometry', () => {
  it('puts zero at the foot, the top of the scale at the head and nothing outside', () => {
    expect([yOf(0, frame), yOf(140, frame), yOf(70, frame), yOf(400, frame), yOf(-3, frame)]).toEqual([140, 0, 70, 0, 140]);
  });

  it('spreads the stations from the left room to the right room, in the order of the air', () => {
    const xs = layOutSpots(read([compressor, supply, nozzle, blasting]), frame).map((s) => s.x);
    expect(xs[0]).toBe(100);
    expect(xs.at(-1)).toBe(800);
    expect([...xs].sort((a, b) => a - b)).toEqual(xs);
  });

  it('keeps the scale above every limit and steady while readings wander', () => {
    const line = read([compressor, supply, nozzle, blasting]);
    expect(topOfScale(line, [125, 105])).toBe(140);
    expect(topOfScale(read([{ ...compressor, value: 114 }, supply, nozzle, blasting]), [125, 105])).toBe(140);
    expect(topOfScale(read([{ ...compressor, value: 160 }]), [125])).toBe(170);
  });

  it('marks round numbers of the reader’s own unit', () => {
    expect(scaleTicks(140, 'us').map((t) => t.text)).toEqual(['0', '50', '100']);
    const bar = scaleTicks(140, 'si');
    expect(bar.map((t) => t.text)).toEqual(['0', '3', '6', '9']);
    expect(bar[1]?.psi).toBeCloseTo(43.51, 2);
  });
});

describe('what is worked out of the line', () => {
  const expected = point('rig-a', 'expected-nozzle-pressure', 95, 0);
  const without = { ...rig, needle: null };

  it('puts the server’s expectation in the middle of its interval, and expects nothing of a shut nozzle', () => {
    const found = reckonLine(without, read([compressor, supply, nozzle, blasting, expected]), 0).expected;
    expect(found?.value).toBe(95);
    expect(found?.low).toBeLessThan(94);
    expect(found?.high).toBeGreaterThan(96);
    expect(reckonLine(without, read([compressor, supply, { ...nozzle, value: 0 }, { ...blasting, value: 0 }]), 0)).toEqual({ expected: null, computed: null, verdict: null });
  });

  it('computes the nozzle only where nothing good is measured, and nothing where the rig’s build is not known', () => {
    expect(reckonLine(rig, read([compressor, supply, nozzle, blasting]), 0).computed).toBeNull();
    const silent = read([compressor, supply, notGood(nozzle, 'stale'), blasting]);
    // At the pressure at which the needle was read the nozzle has what the needle showed.
    expect(reckonLine(rig, silent, 0).computed?.value).toBeCloseTo(94, 1);
    expect(reckonLine({ ...rig, line: { ...rig.line, nozzle: null } }, silent, 0).computed).toBeNull();
    expect(reckonLine(rig, read([compressor, notGood(supply, 'stale'), blasting]), 0).computed).toBeNull();
  });

  it('names what to look for by the pattern of the losses, several where one gauge can’t tell, nothing without an alarm', () => {
    const restricted = [point('comp-1', 'compressor-pressure', 112.6, 0), supply, nozzle, blasting];
    const low = [{ ...nozzleLow, owner: 'rig-a', value: 81, limit: 85 }];
    expect(lookFor(reckonLine(rig, read(restricted, low), 0).verdict)).toMatchObject({ isLikely: true, things: expect.arrayContaining(['rich mix']) as unknown });
    const alone = lookFor(reckonLine(without, read(restricted, low), 0).verdict);
    expect(alone.isLikely).toBe(false);
    expect(alone.things.length).toBeGreaterThan(1);
    expect(reckonLine(rig, read(restricted), 0).verdict).toBeNull();
  });
});
