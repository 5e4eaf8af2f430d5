import type { AlarmRule } from './rule.ts';

/** Alarms that come so close together are taken to have one cause. */
const TOGETHER_MS = 10_000;

export interface StandingAlarm {
  readonly id: string;
  readonly rule: Pick<AlarmRule, 'name' | 'consequenceOf'>;
  readonly owner: string;
  readonly raisedAtMs: number;
}

export interface Place {
  /** Id of the alarm that leads the group. */
  readonly group: string;
  readonly firstOut: boolean;
  /** By time, from 1. */
  readonly order: number;
  /** After the first of the group. */
  readonly offsetMs: number;
}

/**
 * Groups what stands by cause, then by time. A compressor's trip leads whatever followed from it on its rigs, though a rig may have
 * noticed first; else alarms of one owner within ten seconds are led by the first out. An alarm alone has no place.
 * It says what belongs together and hides nothing: CO and loss of air are shown by themselves, whatever group they are in.
 */
export function groupAlarms(standing: readonly StandingAlarm[], rigsOf: (compressor: string) => readonly string[]): Map<string, Place> {
  const places = new Map<string, Place>();
  const byTime = standing.toSorted((a, b) => a.raisedAtMs - b.raisedAtMs || (a.id < b.id ? -1 : 1));
  const isFree = (alarm: StandingAlarm): boolean => !places.has(alarm.id);
  for (const cause of byTime.filter(({ rule }) => rule.name === 'compressor-tripped')) {
    const rigs = rigsOf(cause.owner);
    const follows = (alarm: StandingAlarm): boolean => alarm.rule.consequenceOf === cause.rule.name && rigs.includes(alarm.owner) && alarm.raisedAtMs >= cause.raisedAtMs - TOGETHER_MS;
    place(places, cause, byTime.filter((alarm) => alarm === cause || (isFree(alarm) && follows(alarm))));
  }
  const byOwner = new Map<string, StandingAlarm[]>();
  for (const alarm of byTime) {
    const known = byOwner.get(alarm.owner);
    if (known) known.push(alarm);
    else byOwner.set(alarm.owner, [alarm]);
  }
  for (const ofOwner of byOwner.values()) {
    for (const first of ofOwner) {
      if (!isFree(first)) continue;
      place(places, first, ofOwner.filter((alarm) => isFree(alarm) && alarm.raisedAtMs >= first.raisedAtMs && alarm.raisedAtMs <= first.raisedAtMs + TOGETHER_MS));
    }
  }
  return places;
}

function place(places: Map<string, Place>, leader: StandingAlarm, members: readonly StandingAlarm[]): void {
  const [first] = members;
  if (!first || members.length < 2) return;
  members.forEach((alarm, index) => places.set(alarm.id, { group: leader.id, firstOut: index === 0, order: index + 1, offsetMs: alarm.raisedAtMs - first.raisedAtMs }));
}
