import { PRIORITIES } from '../../domain/alarms/alarm.ts';
import { findUnit } from '../../domain/quantity/unit.ts';
import type { Message } from './channel.ts';
import type { AlarmNotice, Notice, SealNotice } from './notice.ts';

/** Where a notice comes from, as people call it. */
export interface NoticePlace {
  readonly site: string;
  readonly siteName: string;
  /** IANA time zone. */
  readonly zone: string;
  /** Address at which people reach the page; null where it is not configured. */
  readonly page: string | null;
}

/** So many alarms are named in a digest; the page has all. */
const NAMED = 20;

/** One notice in one message. */
export function noticeMessage(id: string, notice: Notice, place: NoticePlace): Message {
  return 'seal' in notice ? sealMessage(id, notice, place) : alarmMessage(id, notice, place);
}

/** The seal of a shift, and what its root is for. */
function sealMessage(id: string, { raisedAtMs, seal }: SealNotice, place: NoticePlace): Message {
  const { shift, rig, root, key, signOffs, drill } = seal;
  return {
    ...common(id, place, raisedAtMs),
    kind: 'seal',
    priority: null,
    title: `${drill ? 'Training: ' : ''}Shift ${shift} sealed`,
    lines: [
      `The record of shift ${shift} of ${rig} was sealed, ${dayText(seal.sealedAtMs, place.zone)}. Nothing has to be done.`,
      ...(drill ? ['Training: nothing in this shift happened for real.'] : []),
      ...signOffs.map(({ name, role, meaning, atMs }) => `Signed by ${name}, ${role.replaceAll('-', ' ')}: ${meaning}, ${dayText(atMs, place.zone)}`),
      `Root: ${root}`,
      `Key: ${key}`,
      'Keep this message: whoever checks the record.zip of this shift later with potside verify must find the same root and key in it, else it is not the record that was sealed.',
    ],
    alarm: null,
    seal,
    link: place.page === null ? null : `${place.page}/#/shifts/${encodeURIComponent(shift)}`,
  };
}

/** One alarm: what it is, what to do first. */
function alarmMessage(id: string, notice: AlarmNotice, place: NoticePlace): Message {
  const { title, owner, response, respondWithin, priority } = notice.body;
  return {
    ...common(id, place, notice.raisedAtMs),
    kind: 'alarm',
    priority,
    title,
    lines: [`${owner}, ${timeText(notice.raisedAtMs, place.zone)}${valueText(notice)}`, `First: ${response}`, `Within: ${respondWithin}`],
    alarm: notice.alarm,
    link: place.page === null ? null : `${place.page}/#/alarms?alarm=${encodeURIComponent(notice.alarm)}`,
  };
}

/** Several alarms of a flood in one message. */
export function digestMessage(id: string, notices: readonly AlarmNotice[], place: NoticePlace): Message {
  const ordered = notices.toSorted((a, b) => PRIORITIES.indexOf(a.body.priority) - PRIORITIES.indexOf(b.body.priority) || a.raisedAtMs - b.raisedAtMs);
  const named = ordered.slice(0, NAMED).map((notice) => `${notice.body.priority}: ${notice.body.title}, ${notice.body.owner}, ${timeText(notice.raisedAtMs, place.zone)}`);
  const more = ordered.length - named.length;
  return {
    ...common(id, place, ordered[0]?.raisedAtMs ?? 0),
    kind: 'digest',
    priority: ordered[0]?.body.priority ?? 'medium',
    title: `${ordered.length} alarms at once`,
    lines: [...named, ...(more > 0 ? [`and ${more} more`] : [])],
    alarm: null,
    link: place.page === null ? null : `${place.page}/#/alarms`,
  };
}

export function testMessage(id: string, by: string, atMs: number, place: NoticePlace): Message {
  return { ...common(id, place, atMs), kind: 'test', priority: 'medium', title: 'This is a test, nothing has happened', lines: [`Asked for by ${by}, ${timeText(atMs, place.zone)}. Whoever gets this is on the plan.`], alarm: null, link: place.page };
}

function common(id: string, { site, siteName }: NoticePlace, atMs: number): Pick<Message, 'id' | 'site' | 'siteName' | 'atMs'> {
  return { id, site, siteName, atMs };
}

function timeText(atMs: number, zone: string): string {
  return new Intl.DateTimeFormat('en-GB', { timeZone: zone, hour: '2-digit', minute: '2-digit', second: '2-digit', timeZoneName: 'short' }).format(atMs);
}

function dayText(atMs: number, zone: string): string {
  return new Intl.DateTimeFormat('en-GB', { timeZone: zone, day: 'numeric', month: 'long', year: 'numeric', hour: '2-digit', minute: '2-digit', second: '2-digit', timeZoneName: 'short' }).format(atMs);
}

function valueText({ body: { value, limit, unit } }: AlarmNotice): string {
  const symbol = findUnit(unit)?.symbol ?? '';
  return value === null || limit === null ? '' : `: ${value} ${symbol}, limit ${limit}`;
}
