import { PRIORITIES } from '../../domain/alarms/alarm.ts';
import { findUnit } from '../../domain/quantity/unit.ts';
import type { Language } from '../../domain/shift/language.ts';
import { NOTICE_WORDS } from '../../domain/words/notice-words.ts';
import { TELL } from '../../domain/words/tell.ts';
import { roleName, TERMS } from '../../domain/words/terms.ts';
import type { Message } from './channel.ts';
import type { AlarmNotice, Notice, SealNotice } from './notice.ts';

/** Where a notice comes from, as people call it. */
export interface NoticePlace {
  readonly site: string;
  readonly siteName: string;
  /** IANA time zone. */
  readonly zone: string;
  /** Of who chose none. */
  readonly language: Language;
  /** Address at which people reach the page; null where it is not configured. */
  readonly page: string | null;
}

/** So many alarms are named in a digest; the page has all. */
const NAMED = 20;

/** One notice in one message. Names and what a site wrote into its alarm table stand as they were written. */
export function noticeMessage(id: string, notice: Notice, place: NoticePlace, language: Language): Message {
  return 'seal' in notice ? sealMessage(id, notice, place, language) : alarmMessage(id, notice, place, language);
}

/** The seal of a shift, and what its root is for. */
function sealMessage(id: string, { raisedAtMs, seal }: SealNotice, place: NoticePlace, language: Language): Message {
  const { shift, rig, root, key, signOffs, drill } = seal;
  const words = NOTICE_WORDS[language];
  const day = (atMs: number): string => dayText(atMs, place.zone, language);
  return {
    ...common(id, place, language, raisedAtMs),
    kind: 'seal',
    priority: null,
    title: drill ? words.training(words.sealTitle(shift)) : words.sealTitle(shift),
    lines: [
      words.sealed(shift, rig, day(seal.sealedAtMs)),
      ...(drill ? [words.trainingLine] : []),
      ...signOffs.map(({ name, role, meaning, atMs }) => words.signed(name, roleName(role, language), TERMS[language].meanings[meaning].toLowerCase(), day(atMs))),
      words.root(root),
      words.key(key),
      words.keep,
    ],
    alarm: null,
    seal,
    link: place.page === null ? null : `${place.page}/#/shifts/${encodeURIComponent(shift)}`,
  };
}

/** One alarm: what it is, what to do first. */
function alarmMessage(id: string, notice: AlarmNotice, place: NoticePlace, language: Language): Message {
  const { title, owner, response, respondWithin, priority } = notice.body;
  const [words, tell] = [NOTICE_WORDS[language], TELL[language]];
  return {
    ...common(id, place, language, notice.raisedAtMs),
    kind: 'alarm',
    priority,
    title: tell(title),
    lines: [`${owner}, ${timeText(notice.raisedAtMs, place.zone, language)}${valueText(notice, language)}`, words.first(tell(response)), words.within(tell(respondWithin))],
    alarm: notice.alarm,
    link: place.page === null ? null : `${place.page}/#/alarms?alarm=${encodeURIComponent(notice.alarm)}`,
  };
}

/** Several alarms of a flood in one message. */
export function digestMessage(id: string, notices: readonly AlarmNotice[], place: NoticePlace, language: Language): Message {
  const [words, { priorities }, tell] = [NOTICE_WORDS[language], TERMS[language], TELL[language]];
  const ordered = notices.toSorted((a, b) => PRIORITIES.indexOf(a.body.priority) - PRIORITIES.indexOf(b.body.priority) || a.raisedAtMs - b.raisedAtMs);
  const named = ordered.slice(0, NAMED).map(({ body, raisedAtMs }) => `${priorities[body.priority]}: ${tell(body.title)}, ${body.owner}, ${timeText(raisedAtMs, place.zone, language)}`);
  const more = ordered.length - named.length;
  return {
    ...common(id, place, language, ordered[0]?.raisedAtMs ?? 0),
    kind: 'digest',
    priority: ordered[0]?.body.priority ?? 'medium',
    title: words.several(String(ordered.length)),
    lines: [...named, ...(more > 0 ? [words.andMore(String(more))] : [])],
    alarm: null,
    link: place.page === null ? null : `${place.page}/#/alarms`,
  };
}

export function testMessage(id: string, by: string, atMs: number, place: NoticePlace, language: Language): Message {
  const words = NOTICE_WORDS[language];
  return { ...common(id, place, language, atMs), kind: 'test', priority: 'medium', title: words.testTitle, lines: [words.testLine(by, timeText(atMs, place.zone, language))], alarm: null, link: place.page };
}

function common(id: string, { site, siteName }: NoticePlace, language: Language, atMs: number): Pick<Message, 'id' | 'site' | 'siteName' | 'language' | 'atMs'> {
  return { id, site, siteName, language, atMs };
}

function timeText(atMs: number, zone: string, language: Language): string {
  return new Intl.DateTimeFormat(NOTICE_WORDS[language].dates, { timeZone: zone, hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23', timeZoneName: 'short' }).format(atMs);
}

function dayText(atMs: number, zone: string, language: Language): string {
  return new Intl.DateTimeFormat(NOTICE_WORDS[language].dates, { timeZone: zone, day: 'numeric', month: 'long', year: 'numeric', hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23', timeZoneName: 'short' }).format(atMs);
}

/** Numbers keep their decimal point in every language (decision 0026). */
function valueText({ body: { value, limit, unit } }: AlarmNotice, language: Language): string {
  const symbol = findUnit(unit)?.symbol ?? '';
  return value === null || limit === null ? '' : `: ${NOTICE_WORDS[language].value(`${value} ${symbol}`, String(limit))}`;
}
