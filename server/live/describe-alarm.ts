import { PRIORITIES, SET_ASIDE } from '../../domain/alarms/alarm.ts';
import { alarmTitle } from '../../domain/alarms/alarm-title.ts';
import { USUAL_FLOOD } from '../../domain/alarms/flood.ts';
import { groupAlarms, type Place } from '../../domain/alarms/group-alarms.ts';
import type { SiteAlarm } from '../../domain/site/site-alarm.ts';
import type { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { LiveAlarm, LiveFlood } from '../../domain/wire/live.ts';

/** Alarms in the words of the wire. Reads the evaluator, keeps nothing. */

function describeAlarm(state: SiteEvaluator, alarm: SiteAlarm, place: Place | undefined): LiveAlarm | null {
  const { bound, track } = alarm;
  const { occurrence, shelved, outOfService } = track;
  if (!occurrence) return null;
  const { rule, owner, point, unit } = bound;
  const { id, raisedAtMs, clearedAtMs, acknowledgedAtMs, acknowledgedBy, silencedAtRigBy, outConfirmedAtMs, outConfirmedBy, value, limit } = occurrence;
  const isAside = SET_ASIDE.includes(occurrence.state);
  return {
    id,
    name: rule.name,
    title: alarmTitle(rule, point),
    site: state.config?.site.id ?? '',
    rig: state.topology?.owners.get(owner)?.kind === 'rig' ? owner : null,
    owner,
    point,
    priority: rule.priority,
    state: occurrence.state,
    sound: isAside || rule.priority === 'low' ? 'none' : rule.isAir ? 'air' : 'other',
    raisedAtMs,
    clearedAtMs,
    acknowledgedAtMs,
    acknowledgedBy,
    silencedAtRig: silencedAtRigBy !== null,
    silencedAtRigBy,
    out: !rule.needsOut || isAside ? 'not-needed' : outConfirmedBy === null ? 'awaited' : 'confirmed',
    outConfirmedAtMs,
    outConfirmedBy,
    latched: rule.latched,
    shelved,
    outOfService,
    suppressedBecause: track.suppressed,
    shelvableBy: rule.shelvableBy,
    group: place?.group ?? null,
    firstOut: place?.firstOut ?? false,
    order: place?.order ?? null,
    offsetMs: place?.offsetMs ?? null,
    alwaysShown: !rule.mayFold,
    chattering: state.isChattering(alarm),
    drill: state.config?.site.training ?? false,
    value,
    limit,
    unit,
    cause: rule.cause,
    consequence: rule.consequence,
    response: rule.response,
    respondWithin: rule.respondWithin,
    limitSource: rule.limitSource,
  };
}

/**
 * Alarms that stand, and after them what is set aside: those nobody has taken first, then by priority; what leads a group before what
 * follows, bad air before its causes; then the newest.
 */
export function standingAlarms(state: SiteEvaluator): LiveAlarm[] {
  const held = [...state.alarms()].filter(({ track }) => track.occurrence);
  const called = held.flatMap(({ bound, track }) => (track.occurrence && !SET_ASIDE.includes(track.occurrence.state) ? [{ id: track.occurrence.id, rule: bound.rule, owner: bound.owner, raisedAtMs: track.occurrence.raisedAtMs }] : []));
  const places = groupAlarms(called, (compressor) => state.topology?.owners.get(compressor)?.serves ?? []);
  const described = held.map((alarm) => describeAlarm(state, alarm, places.get(alarm.track.occurrence?.id ?? ''))).filter((alarm) => alarm !== null);
  return described.map((alarm) => ({ alarm, keys: keysOf(alarm) })).sort((a, b) => compare(a.keys, b.keys)).map(({ alarm }) => alarm);
}

function keysOf(alarm: LiveAlarm): number[] {
  const isFollower = alarm.group !== null && alarm.group !== alarm.id && !alarm.alwaysShown;
  return [
    SET_ASIDE.includes(alarm.state) ? 1 : 0,
    alarm.acknowledgedAtMs === null ? 0 : 1,
    PRIORITIES.indexOf(alarm.priority),
    isFollower ? 1 : 0,
    alarm.out === 'not-needed' ? 1 : 0,
    -alarm.raisedAtMs,
  ];
}

function compare(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((key, index) => key !== b[index]);
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0);
}

/** The flood of a site; null while there is none. */
export function describeFlood({ flood, config }: SiteEvaluator): LiveFlood | null {
  return flood.sinceMs === null ? null : { sinceMs: flood.sinceMs, count: flood.raisedAtMs.length, windowMs: (config?.flood ?? USUAL_FLOOD).windowMs };
}
