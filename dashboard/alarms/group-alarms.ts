import type { LiveAlarm } from '../../domain/wire/live.ts';
import { orderAlarms } from './order-alarms.ts';

/**
 * One place in the list. `cause`: an alarm and what follows from it. `place`: several of one rig, put together only because
 * there are too many to read.
 */
export interface Entry {
  readonly key: string;
  readonly kind: 'alone' | 'cause' | 'place';
  readonly lead: LiveAlarm;
  /** What may be folded under the lead; never CO, loss of air or anything critical. */
  readonly rest: readonly LiveAlarm[];
}

/** Standing alarms as the list shows them, each in exactly one place, best first. In a flood also what has no common cause is put together. */
export function groupAlarms(alarms: readonly LiveAlarm[], isFlood: boolean): readonly Entry[] {
  const standing = orderAlarms(alarms);
  const rank = new Map(standing.map((alarm, index) => [alarm.id, index]));
  const entries: Entry[] = [];
  const placed = new Set<string>();
  const put = (kind: Entry['kind'], lead: LiveAlarm, rest: readonly LiveAlarm[]): void => {
    entries.push({ key: lead.id, kind: rest.length > 0 ? kind : 'alone', lead, rest });
    for (const alarm of [lead, ...rest]) placed.add(alarm.id);
  };

  for (const [group, members] of gather(standing, (a) => a.group)) {
    if (members.length < 2) continue;
    const inTime = [...members].sort((a, b) => (a.order ?? Infinity) - (b.order ?? Infinity));
    // The cause may have gone before its consequences: then the first that still stands leads.
    const lead = inTime.find((a) => a.id === group) ?? inTime[0];
    if (!lead) continue;
    put('cause', lead, inTime.filter((a) => a !== lead && mayFold(a)));
  }
  if (isFlood) {
    for (const [, members] of gather(standing.filter((a) => !placed.has(a.id) && mayFold(a)), (a) => a.owner)) {
      put('place', members[0] as LiveAlarm, members.slice(1));
    }
  }
  for (const alarm of standing) if (!placed.has(alarm.id)) put('alone', alarm, []);
  const best = (entry: Entry): number => Math.min(...[entry.lead, ...entry.rest].map((a) => rank.get(a.id) ?? Infinity));
  return entries.sort((a, b) => best(a) - best(b));
}

export function mayFold(alarm: LiveAlarm): boolean {
  return !alarm.alwaysShown && alarm.priority !== 'critical';
}

function gather(alarms: readonly LiveAlarm[], keyOf: (alarm: LiveAlarm) => string | null): Map<string, LiveAlarm[]> {
  const groups = new Map<string, LiveAlarm[]>();
  for (const alarm of alarms) {
    const key = keyOf(alarm);
    if (key === null) continue;
    const members = groups.get(key);
    if (members) members.push(alarm);
    else groups.set(key, [alarm]);
  }
  return groups;
}
