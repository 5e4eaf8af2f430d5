import { describe, expect, it, vi } from 'vitest';
import { fromSnapshot, withAlarms, withPoints } from '../../dashboard/store/live-state.ts';
import { createPace } from '../../dashboard/store/pace.ts';
import { type Keep, readPreferences, writePreferences } from '../../dashboard/store/preferences.ts';
import { createStore } from '../../dashboard/store/store.ts';
import { pointKey } from '../../domain/points/reading.ts';
import { fabricatedAlarm, fabricatedSite, point } from './support/fabricated-site.ts';

describe('store', () => {
  it('tells of several changes once, and shows the old value until then', () => {
    const waiting: (() => void)[] = [];
    const store = createStore(0, (flush) => waiting.push(flush));
    const heard = vi.fn();
    store.subscribe(heard);
    store.set(1);
    store.update((n) => n + 1);
    expect([store.get(), store.published(), heard.mock.calls.length, waiting.length]).toEqual([2, 0, 0, 1]);
    waiting[0]?.();
    expect([store.published(), heard.mock.calls.length]).toEqual([2, 1]);
  });

  it('tells nobody of a change to the same', () => {
    const store = createStore('a');
    const heard = vi.fn();
    store.subscribe(heard);
    store.set('a');
    expect(heard).not.toHaveBeenCalled();
  });

  it('stops telling who has left', () => {
    const store = createStore(0);
    const heard = vi.fn();
    store.subscribe(heard)();
    store.set(1);
    expect(heard).not.toHaveBeenCalled();
  });
});

describe('pace', () => {
  it('holds readings back and lets alarms through', () => {
    const timers: (() => void)[] = [];
    const pace = createPace(500, (run) => timers.push(run));
    const flush = vi.fn();
    pace.schedule(flush);
    expect(flush).not.toHaveBeenCalled();
    pace.hurry();
    expect(flush).toHaveBeenCalledTimes(1);
    timers[0]?.();
    expect(flush).toHaveBeenCalledTimes(1);
  });
});

describe('live state', () => {
  const revised = { boot: 'b', revision: 1, serverNowMs: 0 };
  const start = fromSnapshot({
    ...revised, protocol: 1, sites: [fabricatedSite(0)], points: [point('rig-a', 'supply-pressure', 100, 0), point('rig-b', 'supply-pressure', 101, 0)],
    floods: {}, alarms: [fabricatedAlarm({ id: 'x', name: 'x', title: 'x', point: 'supply-pressure', priority: 'low', raisedAtMs: 0 }), { ...fabricatedAlarm({ id: 'y', name: 'y', title: 'y', point: 'supply-pressure', priority: 'low', raisedAtMs: 0 }), site: 'other' }],
  });

  it('changes the points that came and keeps the others as they are', () => {
    const next = withPoints(start, { ...revised, points: [point('rig-a', 'supply-pressure', 99, 1)] });
    expect(next.points.get(pointKey('rig-a', 'supply-pressure'))?.value).toBe(99);
    expect(next.points.get(pointKey('rig-b', 'supply-pressure'))).toBe(start.points.get(pointKey('rig-b', 'supply-pressure')));
    expect(start.points.get(pointKey('rig-a', 'supply-pressure'))?.value).toBe(100);
  });

  it('replaces the alarms of the site that was pushed, not another’s', () => {
    expect(withAlarms(start, { ...revised, site: 'quay-4', alarms: [], changed: ['x'], flood: null }).alarms.map((a) => a.id)).toEqual(['y']);
  });
});

describe('preferences', () => {
  it('come back as they were left, and as the defaults where storage is broken, forbidden or of another time', () => {
    const kept = new Map<string, string>();
    const keep: Keep = { getItem: (k) => kept.get(k) ?? null, setItem: (k, v) => void kept.set(k, v) };
    writePreferences(keep, { units: 'si', theme: 'sun', place: 'rig', zone: 'utc', language: 'es' });
    expect(readPreferences(keep)).toEqual({ units: 'si', theme: 'sun', place: 'rig', zone: 'utc', language: 'es' });
    for (const text of ['{', '{"units":"furlongs","theme":7}', 'null']) {
      expect(readPreferences({ getItem: () => text, setItem: () => undefined })).toEqual({ units: 'us', theme: 'light', place: 'office', zone: 'site', language: 'en' });
    }
    expect(readPreferences(null)).toEqual({ units: 'us', theme: 'light', place: 'office', zone: 'site', language: 'en' });
  });

  it('take the language of the device until a person chooses one', () => {
    expect(readPreferences(null, ['de-CH', 'es-MX', 'en']).language).toBe('es');
    expect(readPreferences(null, ['de-CH', 'fr']).language).toBe('en');
    expect(readPreferences({ getItem: () => '{"language":"en"}', setItem: () => undefined }, ['es']).language).toBe('en');
    expect(readPreferences({ getItem: () => '{"language":"toString"}', setItem: () => undefined }, ['es']).language).toBe('es');
  });
});
