import type { Reach } from './reach.ts';
import type { Role } from './role.ts';

/** How somebody came in. */
export const WAYS = ['password', 'pin', 'open-id', 'token', 'wall'] as const;
export type Way = (typeof WAYS)[number];

/** A person or program that signed in. */
export interface Identity {
  readonly name: string;
  readonly role: Role;
  /** What they may see. */
  readonly sites: Reach;
  /** Names the session, token or link: what ends it closes its pages. */
  readonly key: string;
  readonly way: Way;
  /** The account is being tried by somebody: this session only watches. */
  readonly watchOnly?: boolean;
  /** When a token ends, Unix ms; null for one without an end. */
  readonly untilMs?: number | null;
}

/** Who does something to accounts, for the audit trail. */
export interface Doer {
  readonly by: string;
  readonly role: string;
  /** Network address, or `console` for a command on the machine itself. */
  readonly address: string;
}

export const CONSOLE: Doer = { by: 'console', role: 'administrator', address: 'console' };

/** The sites both may see. */
export function both(a: Reach, b: Reach): Reach {
  if (a === null || b === null) return a ?? b;
  return a.filter((site) => b.includes(site));
}

/** Sites as a column of the database holds them. */
export function sitesText(sites: Reach): string | null {
  return sites === null ? null : JSON.stringify([...sites].sort());
}

export function parseSites(text: string | null): Reach {
  return text === null ? null : (JSON.parse(text) as string[]);
}
