import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { Language } from '../../domain/shift/language.ts';
import { type Answer, callApi } from './call-api.ts';
import type { Role } from './session.ts';

/** What the API says of people, ways in and messages. Times are RFC 3339. */
export interface List<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

export type Way = 'password' | 'pin' | 'open-id' | 'token' | 'wall';

export interface Account {
  readonly name: string;
  readonly role: Role;
  readonly sites: readonly string[] | null;
  readonly way: Way;
  readonly hasSecondFactor: boolean;
}

export interface Contact {
  readonly email: string | null;
  /** Minutes after local midnight. */
  readonly quiet: { readonly fromMin: number; readonly toMin: number } | null;
  /** Of messages; null: the site's. */
  readonly language: Language | null;
}

export interface PushBrowser {
  readonly id: string;
  readonly agent: string;
  readonly madeAt: string;
}

export interface SessionRow {
  readonly id: string;
  readonly name: string;
  readonly way: Way;
  readonly startedAt: string;
  readonly expiresAt: string;
  readonly address: string;
  readonly agent: string;
  readonly current: boolean;
}

export interface Person {
  readonly name: string;
  readonly role: Role;
  readonly sites: readonly string[] | null;
  readonly disabled: boolean;
  readonly hasPassword: boolean;
  readonly hasPin: boolean;
  readonly hasTotp: boolean;
}

export interface TokenRow {
  readonly name: string;
  readonly role: Role | 'gateway';
  readonly sites: readonly string[] | null;
  readonly until: string | null;
  readonly madeBy: string | null;
}

export interface ScreenRow {
  readonly id: string;
  readonly kind: 'wall' | 'device';
  readonly name: string;
  readonly site: string;
  readonly until: string;
  readonly madeBy: string;
}

export type Channel = 'push' | 'email' | 'webhook';

export interface Recipient {
  readonly kind: 'person' | 'role' | 'rota' | 'webhook';
  readonly id: string;
}

export interface Turn {
  readonly who: string;
  readonly days: readonly number[];
  readonly fromMin: number;
  readonly toMin: number;
}

export interface Plan {
  readonly site: string;
  readonly channels: readonly Channel[];
  readonly webhooks: readonly string[];
  readonly plans: readonly { readonly priority: AlarmPriority; readonly steps: readonly { readonly afterMs: number; readonly to: readonly Recipient[]; readonly now: readonly string[] }[] }[];
  readonly rotas: readonly { readonly name: string; readonly turns: readonly Turn[]; readonly now: readonly string[] }[];
  readonly lastWaitMs: number;
  readonly repeatMs: number | null;
  readonly people: readonly { readonly name: string; readonly role: string; readonly ways: readonly Channel[]; readonly quiet: boolean }[];
}

export interface NoticeRow {
  readonly id: string;
  readonly kind: 'alarm' | 'seal';
  readonly site: string;
  readonly alarm: string | null;
  readonly title: string;
  readonly owner: string;
  readonly priority: AlarmPriority | null;
  readonly raisedAt: string;
  readonly endedAt: string | null;
  readonly endedWhy: string | null;
  readonly deliveries: readonly {
    readonly id: string;
    readonly round: number;
    readonly step: number;
    readonly person: string | null;
    readonly channel: Channel;
    readonly state: 'waiting' | 'sending' | 'accepted' | 'dead' | 'muted' | 'cancelled';
    readonly attempts: number;
    readonly result: string | null;
    readonly at: string | null;
  }[];
}

export interface TestRow {
  readonly person: string | null;
  readonly channel: Channel;
  readonly accepted: boolean;
  readonly detail: string;
}

export interface AuditRow {
  readonly seq: number;
  readonly at: string;
  readonly by: string;
  readonly role: string;
  readonly address: string;
  readonly what: string;
  readonly site: string | null;
  readonly subject: string | null;
  readonly old: unknown;
  readonly new: unknown;
  readonly why: string | null;
}

export function readList<T>(path: string): Promise<Answer<List<T>>> {
  return callApi<List<T>>(path);
}

export function personPath(name: string, what = ''): string {
  return `/api/people/${encodeURIComponent(name)}${what === '' ? '' : `/${what}`}`;
}
