import type { NotifyConfig, Recipient, RotaTurn } from '../../domain/shift/server-config.ts';
import type { Contact } from './contacts.ts';

/** Somebody who may be told. */
export interface Reachable {
  readonly name: string;
  readonly role: string;
}

export interface Told {
  /** Names, each once. */
  readonly people: readonly string[];
  readonly webhooks: readonly string[];
}

/** Whom the recipients of a step stand for at a time in the site's zone. */
export function whoIsTold(to: readonly Recipient[], people: readonly Reachable[], rotas: NotifyConfig['rotas'], local: LocalTime): Told {
  const names = to.flatMap((one) => {
    switch (one.kind) {
      case 'person':
        return people.filter(({ name }) => name === one.id).map(({ name }) => name);
      case 'role':
        return people.filter(({ role }) => role === one.id).map(({ name }) => name);
      case 'rota':
        return onRota(rotas[one.id] ?? [], local).filter((name) => people.some((person) => person.name === name));
      case 'webhook':
        return [];
    }
  });
  return { people: [...new Set(names)], webhooks: [...new Set(to.flatMap((one) => (one.kind === 'webhook' ? [one.id] : [])))] };
}

/** Day of the week (1 Monday to 7 Sunday) and minutes after midnight. */
export interface LocalTime {
  readonly day: number;
  readonly min: number;
}

const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];

export function localTime(atMs: number, zone: string): LocalTime {
  const parts = new Intl.DateTimeFormat('en-GB', { timeZone: zone, weekday: 'short', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).formatToParts(atMs);
  const part = (type: Intl.DateTimeFormatPartTypes): string => parts.find((one) => one.type === type)?.value ?? '';
  return { day: DAYS.indexOf(part('weekday')) + 1, min: Number(part('hour')) * 60 + Number(part('minute')) };
}

function onRota(turns: readonly RotaTurn[], { day, min }: LocalTime): string[] {
  const dayBefore = day === 1 ? 7 : day - 1;
  return turns.filter(({ days, fromMin, toMin }) => (fromMin < toMin ? days.includes(day) && min >= fromMin && min < toMin : (days.includes(day) && min >= fromMin) || (days.includes(dayBefore) && min < toMin))).map(({ who }) => who);
}

/** True in somebody's quiet hours; these may run past midnight. */
export function isQuiet({ quiet }: Contact, { min }: LocalTime): boolean {
  if (!quiet || quiet.fromMin === quiet.toMin) return false;
  const { fromMin, toMin } = quiet;
  return fromMin < toMin ? min >= fromMin && min < toMin : min >= fromMin || min < toMin;
}
