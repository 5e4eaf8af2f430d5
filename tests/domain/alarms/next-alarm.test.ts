import { describe, expect, it } from 'vitest';
import type { AlarmState } from '../../../domain/alarms/alarm.ts';
import { type AlarmEvent, type AlarmTiming, type AlarmTrack, CLEAR } from '../../../domain/alarms/alarm-step.ts';
import { nextAlarm } from '../../../domain/alarms/next-alarm.ts';
import type { Verdict } from '../../../domain/alarms/judge.ts';

const PLAIN: AlarmTiming = { onDelayMs: 0, offDelayMs: 0, latched: false, autoAcknowledge: false, needsOut: false, shelvableBy: 'supervisor' };
const DELAYED: AlarmTiming = { ...PLAIN, onDelayMs: 5_000, offDelayMs: 15_000 };
const LATCHED: AlarmTiming = { ...PLAIN, latched: true };

const say = (verdict: Verdict): AlarmEvent => ({ kind: 'judged', verdict, value: 12, limit: 10 });
const ack: AlarmEvent = { kind: 'acknowledge', by: 'dana', atRig: false };
const reset: AlarmEvent = { kind: 'reset', by: 'dana' };
const due: AlarmEvent = { kind: 'due', value: 12, limit: 10 };

/** Plays events one second apart and answers with the state after each. */
function play(timing: AlarmTiming, events: readonly AlarmEvent[]): { states: AlarmState[]; track: AlarmTrack; refusals: (string | null)[] } {
  let track = CLEAR;
  let ids = 0;
  const states: AlarmState[] = [];
  const refusals: (string | null)[] = [];
  events.forEach((event, index) => {
    const step = nextAlarm(timing, track, event, index * 1000, () => `a${++ids}`);
    track = step.track;
    states.push(track.occurrence?.state ?? 'normal');
    refusals.push(step.refusal);
  });
  return { states, track, refusals };
}

// Transitions of ISA-18.2-2016 / IEC 62682, seen in a secondary source.
describe('the state table of ISA-18.2', () => {
  it.each<[string, AlarmTiming, AlarmEvent[], AlarmState[]]>([
    ['occurs, is acknowledged, returns to normal', PLAIN, [say('alarm'), ack, say('clear')], ['unacknowledged', 'acknowledged', 'normal']],
    ['returns to normal before anybody acknowledged', PLAIN, [say('alarm'), say('clear'), ack], ['unacknowledged', 'returned-to-normal-unacknowledged', 'normal']],
    ['re-alarms while returned and unacknowledged', PLAIN, [say('alarm'), say('clear'), say('alarm')], ['unacknowledged', 'returned-to-normal-unacknowledged', 'unacknowledged']],
    ['latched: waits for the reset', LATCHED, [say('alarm'), ack, say('clear'), reset], ['unacknowledged', 'acknowledged', 'latched-acknowledged', 'normal']],
    ['latched: acknowledged after its cause has gone', LATCHED, [say('alarm'), say('clear'), ack, reset], ['unacknowledged', 'latched-unacknowledged', 'latched-acknowledged', 'normal']],
    ['latched: re-alarms and must be acknowledged again', LATCHED, [say('alarm'), ack, say('clear'), say('alarm')], ['unacknowledged', 'acknowledged', 'latched-acknowledged', 'unacknowledged']],
    ['inside the deadband it neither rises nor clears', PLAIN, [say('hold'), say('alarm'), say('hold')], ['normal', 'unacknowledged', 'unacknowledged']],
  ])('%s', (_name, timing, events, expected) => {
    expect(play(timing, events).states).toEqual(expected);
  });

  it('refuses a reset while the cause is present, and one before anybody acknowledged', () => {
    expect(play(LATCHED, [say('alarm'), ack, reset]).refusals[2]).toMatch(/cause is still present/);
    expect(play(LATCHED, [say('alarm'), say('clear'), reset]).refusals[2]).toMatch(/acknowledge it first/);
  });

  it('names who acknowledged first when a second person does', () => {
    const { refusals, track } = play(PLAIN, [say('alarm'), ack, { kind: 'acknowledge', by: 'lee', atRig: false }]);
    expect(refusals[2]).toBe('already acknowledged by dana');
    expect(track.occurrence?.acknowledgedBy).toBe('dana');
  });

  it('keeps its id and start over a re-alarm', () => {
    const { track } = play(PLAIN, [say('alarm'), say('clear'), say('alarm')]);
    expect(track.occurrence).toMatchObject({ id: 'a1', raisedAtMs: 0 });
  });
});

describe('delays', () => {
  it('raises when the on-delay ends, not before, and not when it cleared meanwhile', () => {
    expect(play(DELAYED, [say('alarm')]).track).toMatchObject({ process: 'rising', dueAtMs: 5_000 });
    expect(play(DELAYED, [say('alarm'), due]).states).toEqual(['normal', 'unacknowledged']);
    expect(play(DELAYED, [say('alarm'), say('clear'), due]).states.at(-1)).toBe('normal');
  });

  it('clears when the off-delay ends; a doubt in between starts it anew', () => {
    expect(play(DELAYED, [say('alarm'), due, say('clear')]).track).toMatchObject({ process: 'falling', dueAtMs: 2_000 + 15_000 });
    expect(play(DELAYED, [say('alarm'), due, say('clear'), say('hold')]).track).toMatchObject({ process: 'active', dueAtMs: null });
    expect(play(DELAYED, [say('alarm'), due, ack, say('clear'), due]).states.at(-1)).toBe('normal');
  });

  it('keeps what is left of a delay while frozen', () => {
    const { track } = play(DELAYED, [say('alarm'), { kind: 'freeze' }, { kind: 'freeze' }, { kind: 'thaw' }]);
    expect(track.dueAtMs).toBe(3_000 + 4_000);
  });
});

it('missing data never clears an alarm', () => {
  const silence = Array.from({ length: 50 }, () => say('hold'));
  expect(play(PLAIN, [say('alarm'), ...silence]).states.at(-1)).toBe('unacknowledged');
  expect(play(DELAYED, [say('alarm'), due, say('clear'), ...silence, due]).states.at(-1)).toBe('unacknowledged');
});
