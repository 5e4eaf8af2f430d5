import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { SettableClock } from '../../../host/clock.ts';
import type { SequencedReading } from '../../../domain/wire/uplink.ts';
import { SiteWriter } from '../../../server/intake/site-writer.ts';
import { rejudgeShift } from '../../../server/record/rejudge.ts';
import type { Store } from '../../../server/record/store.ts';
import { QUIET } from '../../support/quiet.ts';
import { batch, NOW } from '../../support/server.ts';
import { testSite } from '../../support/site.ts';
import { openStoreAt, STORES } from '../../support/stores.ts';
import { tempDir } from '../../support/temp-dir.ts';

const SECOND = 1000;

/** Two and a half hours on rig-a: three peaks of CO (13, 45 and 11 ppm), the first acknowledged and reset by a person; readings every five seconds. */
async function record(store: Store): Promise<{ writer: SiteWriter; clock: SettableClock; shift: string }> {
  const clock = new SettableClock(NOW);
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(testSite());
  const person = { by: 'dana', role: 'supervisor', from: 'test' };
  let sequence = 0;
  const at = async (second: number, co: number): Promise<void> => {
    clock.set(NOW + second * SECOND);
    const base = { owner: 'rig-a', observedAtMs: clock.nowMs(), receivedAtMs: clock.nowMs(), quality: 'good', reason: null, backlog: false } as const;
    const readings: SequencedReading[] = [{ ...base, point: 'breathing-air-co', value: co, sequence: ++sequence }, { ...base, point: 'supply-pressure', value: 105, sequence: ++sequence }];
    await writer.take(batch(readings));
  };
  for (let second = 0; second < 600; second += 5) await at(second, 2);
  const { shift } = await writer.act({ kind: 'start-shift', rig: 'rig-a', key: 'key-start', ...person });
  for (let second = 600; second < 9_600; second += 5) {
    const co = second >= 3000 && second < 3300 ? 13 : second >= 7000 && second < 7200 ? 45 : second >= 9000 && second < 9100 ? 11 : 2;
    await at(second, co);
    const standing = [...writer.state.alarms()].find(({ bound, track }) => bound.rule.name === 'co-high' && track.occurrence)?.track.occurrence?.id;
    if (second === 3100 && standing) await writer.act({ kind: 'acknowledge', alarm: standing, atRig: true, key: 'key-ack', ...person });
    if (second === 3700 && standing) for (const kind of ['confirm-out', 'reset'] as const) await writer.act({ kind, alarm: standing, key: `key-${kind}`, ...person });
    if (second === 8000 && standing) for (const kind of ['acknowledge', 'confirm-out', 'reset'] as const) await writer.act({ kind, alarm: standing, atRig: true, key: `key-${kind}-2`, ...person });
  }
  return { writer, clock, shift: shift?.id ?? '' };
}

const told = (alarms: readonly { name: string; raisedAtMs: number }[], name: string): number[] => alarms.filter((alarm) => alarm.name === name).map(({ raisedAtMs }) => (raisedAtMs - NOW) / SECOND);

describe.each(STORES)('re-judging over %s', (kind) => {
  it('without a change comes to what the journal tells; with one, to what would have been; packed or not, snapshot or not', async () => {
    const { store, sql } = await openStoreAt(kind, join(tempDir(), 'record.db'));
    const { writer, clock, shift: id } = await record(store);
    const shift = (await store.shift(id))?.shift;
    if (!shift) throw new Error('no shift');
    const same = await rejudgeShift(store, 'pier-9', shift, {}, clock.nowMs());
    expect(same.after).toEqual(same.before);
    expect(told(same.before.alarms, 'co-high')).toEqual([3000, 7000, 9000]);
    const raised = (await store.alarmMoves('pier-9', shift.startedAtMs, clock.nowMs() + 1)).filter(({ name, to, from }) => name === 'co-high' && to === 'unacknowledged' && from !== 'unacknowledged');
    expect(raised.map(({ atMs }) => (atMs - NOW) / SECOND)).toEqual([3000, 7000, 9000]);

    const higher = await rejudgeShift(store, 'pier-9', shift, { 'co-high': { limit: 12 } }, clock.nowMs());
    expect(higher.before).toEqual(same.before);
    expect(told(higher.after.alarms, 'co-high')).toEqual([3000, 7000]);
    expect(higher.before.counts.critical - higher.after.counts.critical).toBe(1);
    // What a person did is done again: acknowledged at 3100, reset at 3700, so the second peak is an occurrence of its own.
    const slower = await rejudgeShift(store, 'pier-9', shift, { 'co-high': { limit: 20, onDelayMs: 60_000 } }, clock.nowMs());
    expect(told(slower.after.alarms, 'co-high')).toEqual([7060]);

    while (await store.packNext('pier-9'));
    expect(await sql.get('SELECT count(*) AS n FROM pack')).toMatchObject({ n: 2 });
    expect(await rejudgeShift(store, 'pier-9', shift, { 'co-high': { limit: 12 } }, clock.nowMs())).toEqual(higher);
    // A record of before such states were kept, or of another version.
    await sql.run('DELETE FROM shift_start');
    const cold = await rejudgeShift(store, 'pier-9', shift, { 'co-high': { limit: 12 } }, clock.nowMs());
    expect(told(cold.before.alarms, 'co-high')).toEqual([3000, 7000, 9000]);
    expect(told(cold.after.alarms, 'co-high')).toEqual([3000, 7000]);
    await writer.stop();
    await store.close();
  });
});
