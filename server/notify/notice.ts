import { alarmTitle } from '../../domain/alarms/alarm-title.ts';
import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { Effects } from '../../domain/site/site-effects.ts';

/** An alarm that people are to be told of: kept in the commit that raised it. */
export interface Notice {
  /** Of this raising: the same alarm announced anew is another. */
  readonly id: string;
  readonly site: string;
  /** Id of the occurrence. */
  readonly alarm: string;
  readonly raisedAtMs: number;
  readonly body: NoticeBody;
}

export interface NoticeBody {
  readonly name: string;
  readonly title: string;
  readonly owner: string;
  readonly priority: AlarmPriority;
  /** CO and loss of air: never muted, never in a digest. */
  readonly isAir: boolean;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  readonly response: string;
  readonly respondWithin: string;
}

/** What is about the telling itself is told by screen and beacon: a letter that nobody got is not made up for by another. */
const TOLD_ON_SITE = ['nobody-told'];

/** The notices of one entry: every alarm that is announced now. */
export function noticesOf(site: string, { transitions }: Effects): Notice[] {
  return transitions.flatMap((move) => {
    const { occurrence, rule } = move;
    if (occurrence.state !== 'unacknowledged' || move.from === 'unacknowledged' || rule.priority === 'low' || TOLD_ON_SITE.includes(rule.name)) return [];
    const { name, priority, isAir, response, respondWithin } = rule;
    const { value, limit } = occurrence;
    const body: NoticeBody = { name, title: alarmTitle(rule, move.point), owner: move.owner, priority, isAir, value, limit, unit: move.unit, response, respondWithin };
    return [{ id: `${occurrence.id}/${move.seq}-${move.n}`, site, alarm: occurrence.id, raisedAtMs: move.atMs, body }];
  });
}
