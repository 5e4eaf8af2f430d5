import { alarmTitle } from '../../domain/alarms/alarm-title.ts';
import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { Shift, SignOff } from '../../domain/shift/shift.ts';
import type { NotifyConfig } from '../../domain/shift/server-config.ts';
import type { LogEntry } from '../../domain/site/log.ts';
import type { Effects } from '../../domain/site/site-effects.ts';

/** What people are to be told of: kept in the commit that made it so. */
export type Notice = AlarmNotice | SealNotice;

export interface AlarmNotice {
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

/** A shift was sealed: its root goes to where nobody here can change it. No alarm: no plan, no step after it, no sound. */
export interface SealNotice {
  readonly id: string;
  readonly site: string;
  readonly raisedAtMs: number;
  readonly seal: SealBody;
}

export interface SealBody {
  readonly shift: string;
  readonly rig: string;
  /** On a training site: nothing in it happened for real. */
  readonly drill: boolean;
  /** Root of the shift's Merkle tree, hex. */
  readonly root: string;
  /** Fingerprint of the key that signed it. */
  readonly key: string;
  readonly sealedAtMs: number;
  readonly signOffs: readonly SignOff[];
}

/** What is about the telling itself is told by screen and beacon: a letter that nobody got is not made up for by another. */
const TOLD_ON_SITE = ['nobody-told'];

/** The notices of one entry: every alarm that is announced now, and a seal where notifications are set up. */
export function noticesOf(site: string, { entry, effects }: { readonly entry: LogEntry; readonly effects: Effects }, notify: NotifyConfig | null): Notice[] {
  const isSeal = entry.kind === 'action' && entry.action.kind === 'seal-shift';
  return [...alarmNotices(site, effects), ...(isSeal && notify && effects.shift ? sealNotices(site, effects.shift) : [])];
}

function sealNotices(site: string, { id, rig, drill, seal, signOffs }: Shift): SealNotice[] {
  if (!seal) return [];
  return [{ id: `seal/${id}`, site, raisedAtMs: seal.atMs, seal: { shift: id, rig, drill, root: seal.root, key: seal.key, sealedAtMs: seal.atMs, signOffs } }];
}

function alarmNotices(site: string, { transitions }: Effects): AlarmNotice[] {
  return transitions.flatMap((move) => {
    const { occurrence, rule } = move;
    if (occurrence.state !== 'unacknowledged' || move.from === 'unacknowledged' || rule.priority === 'low' || TOLD_ON_SITE.includes(rule.name)) return [];
    const { name, priority, isAir, response, respondWithin } = rule;
    const { value, limit } = occurrence;
    const body: NoticeBody = { name, title: alarmTitle(rule, move.point), owner: move.owner, priority, isAir, value, limit, unit: move.unit, response, respondWithin };
    return [{ id: `${occurrence.id}/${move.seq}-${move.n}`, site, alarm: occurrence.id, raisedAtMs: move.atMs, body }];
  });
}
