import type { Recipient, Turn } from '../../api/people.ts';
import { clockOfMinutes } from '../minutes.ts';
import type { Words } from '../../words/en.ts';

/** A duration as it is written in the configuration: `30s`, `2min`. */
export function durationText(ms: number): string {
  return ms >= 60_000 && ms % 60_000 === 0 ? `${ms / 60_000}min` : `${ms / 1000}s`;
}

export function recipientText({ kind, id }: Recipient, words: Words): string {
  return words.people.messages.kinds[kind](kind === 'role' ? words.roleNames(id) : id);
}

const DAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];

/** Days as the configuration writes them: `daily`, `mon`, `mon-fri`. */
export function writtenDays(days: readonly number[]): string {
  const [first = 1] = days;
  const last = days.at(-1) ?? first;
  if (days.length === 7) return 'daily';
  return first === last ? (DAYS[first - 1] ?? 'mon') : `${DAYS[first - 1]}-${DAYS[last - 1]}`;
}

/** The same for people: `every day`, `Mon`, `Mon–Fri`. */
export function daysText(written: string, told: Words['people']['messages']): string {
  if (written === 'daily') return told.daily;
  return written.split('-').map((day) => told.days[DAYS.indexOf(day)] ?? day).join('–');
}

export function turnText({ who, days, fromMin, toMin }: Turn, told: Words['people']['messages']): string {
  return told.turn(who, daysText(writtenDays(days), told), clockOfMinutes(fromMin), clockOfMinutes(toMin));
}
