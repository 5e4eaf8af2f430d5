import { describe, expect, it } from 'vitest';
import { groupAlarms } from '../../dashboard/alarms/group-alarms.ts';
import { placeOnLine } from '../../dashboard/alarms/list/place-on-line.ts';
import { nextWord } from '../../dashboard/alarms/next-word.ts';
import { type ListOrder, type OrderEvent, EMPTY_ORDER, isOutOfOrder, nextOrder } from '../../dashboard/alarms/next-order.ts';
import { filterJournal } from '../../dashboard/alarms/journal/filter-journal.ts';
import { countWindows } from '../../dashboard/alarms/metrics/count-windows.ts';
import { rateBars } from '../../dashboard/alarms/metrics/rate-bars.ts';
import { mayShelve, mayTakeOutOfService } from '../../dashboard/api/session.ts';
import { formatOffset } from '../../dashboard/format/offset.ts';
import { parseRoute, routeHref } from '../../dashboard/page/route.ts';
import { en } from '../../dashboard/words/en.ts';
import { compressorTrip, flood, mixedList } from './support/alarm-scenarios.ts';
import { fabricatedAlarm } from './support/fabricated-site.ts';

const NOW = 1_764_080_000_000;

describe('groups', () => {
  it('puts all that followed from a trip under it in order of time, and CO by itself on top', () => {
    const entries = groupAlarms(compressorTrip(NOW), false);
    expect(entries.map((e) => [e.key, e.kind])).toEqual([['co-b', 'alone'], ['trip', 'cause']]);
    expect(entries[1]?.rest.map((a) => a.order)).toEqual([2, 3, 4, 5, 6, 7, 8, 9]);
  });

  it('is led by the first that still stands when the cause has gone', () => {
    const left = compressorTrip(NOW).filter((a) => a.id !== 'trip');
    expect(groupAlarms(left, false).map((e) => e.key)).toEqual(['co-b', 'sup-rig-a']);
  });

  it('does not put together in quiet times what only shares a rig', () => {
    expect(groupAlarms(mixedList(NOW), false).every((e) => e.kind === 'alone')).toBe(true);
  });

  it('puts the rest together by rig in a flood, but nothing critical', () => {
    const entries = groupAlarms(flood(NOW), true);
    expect(entries.map((e) => [e.key, e.kind])).toEqual([
      ['air-c', 'alone'], ['co-b', 'alone'], ['trip', 'cause'], ['st-rig-a', 'place'], ['st-rig-b', 'place'], ['st-rig-c', 'place'], ['st-rig-d', 'place'],
    ]);
    expect(entries.flatMap((e) => e.rest).filter((a) => a.priority === 'critical' || a.alwaysShown)).toEqual([]);
  });

  it('shows each alarm exactly once', () => {
    for (const isFlood of [false, true]) {
      const shown = groupAlarms(flood(NOW), isFlood).flatMap((e) => [e.lead.id, ...e.rest.map((a) => a.id)]);
      expect(new Set(shown).size).toBe(shown.length);
      expect(shown.length).toBe(flood(NOW).filter((a) => a.state !== 'shelved' && a.state !== 'out-of-service' && a.state !== 'suppressed-by-design').length);
    }
  });
});

describe('what is being read keeps its place', () => {
  const after = (...events: OrderEvent[]): ListOrder => events.reduce(nextOrder, EMPTY_ORDER);
  const fresh = (...keys: string[]): OrderEvent => ({ kind: 'fresh', keys });

  it('follows the order while nobody reads', () => {
    expect(after(fresh('a', 'b'), fresh('c', 'a', 'b')).shown).toEqual(['c', 'a', 'b']);
  });

  it('moves nothing while somebody reads: new at the end, gone in its place', () => {
    const held = after(fresh('a', 'b'), { kind: 'hold' }, fresh('c', 'b'));
    expect(held.shown).toEqual(['a', 'b', 'c']);
    expect(isOutOfOrder(held)).toBe(true);
  });

  it('takes the new order at the button, and goes on holding', () => {
    const renewed = after(fresh('a', 'b'), { kind: 'hold' }, fresh('c', 'b'), { kind: 'renew' });
    expect([renewed.shown, renewed.isHeld, isOutOfOrder(renewed)]).toEqual([['c', 'b'], true, false]);
    expect(nextOrder(renewed, fresh('d', 'c', 'b')).shown).toEqual(['c', 'b', 'd']);
  });

  it('takes it by itself once nobody reads', () => {
    expect(after(fresh('a', 'b'), { kind: 'hold' }, fresh('c', 'b'), { kind: 'release' }).shown).toEqual(['c', 'b']);
  });

  it('comes back to its place when it comes back', () => {
    expect(after(fresh('a', 'b'), { kind: 'hold' }, fresh('b'), fresh('a', 'b')).shown).toEqual(['a', 'b']);
  });
});

describe('what comes next for an alarm', () => {
  it('is I have it, then blaster out, then reset, each only for those who may', () => {
    expect(nextWord({ state: 'unacknowledged', out: 'awaited' }, 'tender')).toBe('acknowledge');
    expect(nextWord({ state: 'latched-acknowledged', out: 'awaited' }, 'tender')).toBe('confirm-out');
    expect(nextWord({ state: 'latched-acknowledged', out: 'confirmed' }, 'tender')).toBeNull();
    expect(nextWord({ state: 'latched-acknowledged', out: 'confirmed' }, 'supervisor')).toBe('reset');
    expect(nextWord({ state: 'acknowledged', out: 'not-needed' }, 'supervisor')).toBeNull();
    expect(nextWord({ state: 'unacknowledged', out: 'awaited' }, 'manager')).toBeNull();
    expect(nextWord({ state: 'acknowledged', out: 'awaited' }, 'administrator')).toBeNull();
  });

  it('stays on top until the blaster is out', () => {
    const co = fabricatedAlarm({ id: 'c', name: 'co-high', title: 'CO', point: 'breathing-air-co', priority: 'critical', raisedAtMs: 1, state: 'acknowledged', out: 'awaited' });
    const other = fabricatedAlarm({ id: 'n', name: 'n', title: 'n', point: 'nozzle-pressure', priority: 'medium', raisedAtMs: 2 });
    expect(groupAlarms([other, co], false).map((e) => e.key)).toEqual(['c', 'n']);
    expect(groupAlarms([other, { ...co, out: 'confirmed' }], false).map((e) => e.key)).toEqual(['n', 'c']);
  });

  it('may be shelving, but CO and loss of air are the safety officer’s alone', () => {
    const who = (by: 'supervisor' | 'safety-officer' | null) => (['viewer', 'tender', 'supervisor', 'safety-officer', 'manager', 'administrator'] as const).filter((role) => mayShelve(role, by));
    expect(who('supervisor')).toEqual(['supervisor', 'safety-officer', 'administrator']);
    expect(who('safety-officer')).toEqual(['safety-officer']);
    expect(who(null)).toEqual([]);
    expect(mayTakeOutOfService('supervisor', 'supervisor')).toBe(false);
  });
});

describe('small things', () => {
  it.each([[0, '0 ms'], [820, '820 ms'], [2_400, '2.4 s'], [61_000, '1 min 01 s']])('says an offset of %s ms as %s', (ms, text) => expect(formatOffset(ms, en)).toBe(text));

  it.each([['breathing-air-co', 'hood'], ['nozzle-pressure', 'nozzle'], ['line-loss-residual', 'hose'], ['supply-pressure', 'machine'], ['compressor-pressure', 'compressor'], ['steel-margin', 'outside']])('finds %s at the %s', (point, place) => expect(placeOnLine({ point })).toBe(place));

  it('keeps the screen in the address, and knows no other screens', () => {
    expect(parseRoute(routeHref('alarms/journal', { alarm: 'a/1 2' })).query.get('alarm')).toBe('a/1 2');
    expect(parseRoute('').route).toBe('watch');
    expect(parseRoute('#/nonsense').route).toBe('watch');
  });

  it('finds journal entries by all words, in any order', () => {
    const entry = (id: string, text: string, kind = 'alarm') => ({ id, at: '', kind, text, rig: 'rig-a', detail: { name: 'x' } });
    const entries = [entry('1', 'Nozzle pressure low: raised'), entry('2', 'Nozzle worn'), entry('3', 'acknowledge', 'action')];
    expect(filterJournal(entries, { kind: '', alarm: '', text: 'LOW nozzle' }).map((e) => e.id)).toEqual(['1']);
    expect(filterJournal(entries, { kind: 'action', alarm: '', text: '' }).map((e) => e.id)).toEqual(['3']);
  });

  it('counts calls by ten minutes, and an alarm announced twice without a word between once', () => {
    const call = (minute: number, from: string, to = 'unacknowledged') => ({ id: String(minute), at: new Date(NOW + minute * 60_000).toISOString(), kind: 'alarm', text: '', rig: null, detail: { from, to } });
    const entries = [call(25, 'acknowledged', 'normal'), call(21, 'shelved'), call(9, 'unacknowledged'), call(8, 'normal'), call(-1, 'normal')];
    expect(countWindows(entries, NOW, NOW + 30 * 60_000).map((w) => w.count)).toEqual([1, 0, 1]);
  });

  it('never averages a peak away', () => {
    const windows = Array.from({ length: 4320 }, (_, i) => ({ fromMs: i * 600_000, count: i === 1234 ? 40 : 1 }));
    const bars = rateBars(windows, 200);
    expect(bars.length).toBeLessThanOrEqual(200);
    expect(Math.max(...bars.map((b) => b.count))).toBe(40);
  });
});
