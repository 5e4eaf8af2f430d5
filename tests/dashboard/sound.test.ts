import { describe, expect, it } from 'vitest';
import { SILENCE_MS, SOUND_OFF, type Sound, type SoundCause, type SoundEvent, heard, nextSound } from '../../dashboard/sound/next-sound.ts';
import { openSound } from '../../dashboard/sound/open-sound.ts';
import { RHYTHMS, renderRhythm } from '../../dashboard/sound/rhythm.ts';
import { soundCauses } from '../../dashboard/sound/sound-causes.ts';
import { NOTHING_YET } from '../../dashboard/store/live-state.ts';
import { createStore } from '../../dashboard/store/store.ts';
import { fabricatedAlarm } from './support/fabricated-site.ts';

const air: SoundCause = { key: 'co@1', pattern: 'air', priority: 'critical' };
const medium: SoundCause = { key: 'n@1', pattern: 'other', priority: 'medium' };
const high: SoundCause = { key: 's@1', pattern: 'other', priority: 'high' };
const after = (...events: SoundEvent[]): Sound => events.reduce(nextSound, SOUND_OFF);
const causes = (...all: SoundCause[]): SoundEvent => ({ kind: 'causes', causes: all });
const arm: SoundEvent = { kind: 'arm' };
const silence: SoundEvent = { kind: 'silence', atMs: 0 };

describe('sound', () => {
  it('is off until somebody turns it on', () => {
    expect(heard(after(causes(air)))).toBeNull();
    expect(heard(after(causes(air), arm))).toBe('air');
    expect(heard(after(arm, causes(air), { kind: 'disarm' }))).toBeNull();
  });

  it('has two patterns, and the air’s wins', () => {
    expect(heard(after(arm, causes(medium)))).toBe('other');
    expect(heard(after(arm, causes(medium, air)))).toBe('air');
  });

  it('ends when nothing calls any more, as after I have it', () => {
    expect(heard(after(arm, causes(air), causes()))).toBeNull();
  });

  it('is silent for two minutes at the most', () => {
    const silent = after(arm, causes(high), silence);
    expect(heard(silent)).toBeNull();
    expect(heard(nextSound(silent, { kind: 'tick', atMs: SILENCE_MS - 1 }))).toBeNull();
    expect(heard(nextSound(silent, { kind: 'tick', atMs: SILENCE_MS }))).toBe('other');
    expect(SILENCE_MS).toBeLessThanOrEqual(120_000);
  });

  it.each([
    ['an equal one', high, { ...high, key: 'x@2' }, 'other'], ['a higher one', medium, high, 'other'], ['air of any priority', high, { ...air, priority: 'medium' as const }, 'air'],
    ['a lower one', high, medium, null], ['the same one raised anew', high, { ...high, key: 's@2' }, 'other'],
  ])('breaks a silence for %s or not', (_, first, second, expected) => {
    expect(heard(after(arm, causes(first), silence, causes(first, second)))).toBe(expected);
  });

  it('stays silent when one of several is taken', () => {
    expect(heard(after(arm, causes(high, medium), silence, causes(medium)))).toBeNull();
  });

  it('does not keep a silence for the next alarm', () => {
    expect(heard(after(arm, causes(high), silence, causes(), causes(medium)))).toBe('other');
  });

  it('can be tried, only when on, and never over an alarm', () => {
    const test: SoundEvent = { kind: 'test', pattern: 'other', atMs: 0 };
    expect(heard(after(test))).toBeNull();
    expect(heard(after(arm, test))).toBe('other');
    expect(heard(after(arm, test, { kind: 'tick', atMs: 5_000 }))).toBeNull();
    expect(heard(after(arm, causes(air), test))).toBe('air');
  });
});

describe('what calls', () => {
  const alarm = (changes: Parameters<typeof fabricatedAlarm>[0] | object) => fabricatedAlarm({ id: 'a', name: 'n', title: 't', point: 'breathing-air-co', priority: 'critical', raisedAtMs: 5, sound: 'air', ...changes });

  it('is what nobody has, not what is taken, set aside or over', () => {
    const keys = (changes: object) => soundCauses([alarm(changes)], false).map((c) => c.key);
    expect(keys({})).toEqual(['a@5']);
    expect(keys({ state: 'latched-unacknowledged' })).toEqual(['a@5']);
    for (const state of ['acknowledged', 'returned-to-normal-unacknowledged', 'shelved', 'suppressed-by-design', 'out-of-service', 'latched-acknowledged']) expect(keys({ state })).toEqual([]);
    expect(keys({ sound: 'none' })).toEqual([]);
  });

  it('is also a page that no longer hears the server', () => {
    expect(soundCauses([], true)).toEqual([{ key: 'link', pattern: 'other', priority: 'high' }]);
  });

  it('reaches the player as it happens', () => {
    let now = 0;
    const played: (string | null)[] = [];
    const live = createStore(NOTHING_YET);
    const feed = createStore<{ frameAtMs: number | null }>({ frameAtMs: null });
    const tick = createStore(0);
    const desk = openSound({ sound: createStore(SOUND_OFF), live, feed, tick, now: () => now, createPlayer: () => ({ unlock: () => undefined, play: (p) => played.at(-1) !== p && played.push(p), close: () => undefined }) });
    const close = desk.open();
    desk.arm();
    feed.set({ frameAtMs: 0 });
    live.update((s) => ({ ...s, alarms: [alarm({})] }));
    live.update((s) => ({ ...s, alarms: [alarm({ state: 'acknowledged' })] }));
    now = 6_000;
    tick.set(now);
    feed.set({ frameAtMs: now });
    tick.set(now + 500);
    close();
    expect(played).toEqual([null, 'air', null, 'other', null]);
  });
});

describe('rhythm', () => {
  it('tells the two apart by beats alone, and is never louder than the device allows', () => {
    expect(RHYTHMS.air.beats.length).toBeGreaterThanOrEqual(3 * RHYTHMS.other.beats.length);
    for (const rhythm of Object.values(RHYTHMS)) {
      const samples = renderRhythm(rhythm, 8_000);
      expect(samples.length).toBe(rhythm.periodS * 8_000);
      expect(Math.max(...samples.map(Math.abs))).toBeLessThanOrEqual(1);
      expect(samples.at(-1)).toBe(0);
    }
  });
});
