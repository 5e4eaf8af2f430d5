import type { Clock } from '../../host/clock.ts';
import type { Sql } from '../../host/sql.ts';
import { UserError } from '../../host/user-error.ts';
import type { AuditTrail, Deed } from '../audit/audit-trail.ts';
import type { Doer } from './identity.ts';
import { isRole, ROLES, type Role, TOKEN_ROLES } from './role.ts';

const NAME = /^[\p{L}\p{N}][\p{L}\p{N} ._@-]{0,63}$/u;
const SITE = /^[a-z0-9][a-z0-9-]{0,31}$/;

/** What the parts of access share: the database, the time, the audit trail and word of what ended. */
export interface AccessBase {
  readonly sql: Sql;
  readonly clock: Clock;
  readonly trail: AuditTrail;
  /** Tells that these sessions, tokens or links hold no more. */
  readonly ended: (keys: readonly string[]) => void;
}

/** Writes and tells of it in one transaction: nothing is done that the trail does not know. */
export function write<T>({ sql, clock, trail }: AccessBase, doer: Doer, deed: Omit<Deed, 'atMs' | keyof Doer>, act: () => Promise<T>): Promise<T> {
  return sql.transaction(async () => {
    const done = await act();
    await trail.add({ atMs: clock.nowMs(), ...doer, ...deed });
    return done;
  });
}

/** @throws UserError for what is no name */
export function checkName(name: string): void {
  if (!NAME.test(name)) throw new UserError(`${JSON.stringify(name)} is not a name: expected 1 to 64 letters, digits, spaces or . _ @ -`);
}

/** @throws UserError for what is no role */
export function checkRole(role: string): Role {
  if (!isRole(role)) throw new UserError(`${JSON.stringify(role)} is not a role: expected one of ${ROLES.join(', ')}`);
  return role;
}

/** @throws UserError for what a token can't stand for */
export function checkTokenRole(role: string): Role {
  const found = TOKEN_ROLES.find((one) => one === role);
  if (!found) throw new UserError(`${JSON.stringify(role)} is not a role: expected one of ${TOKEN_ROLES.join(', ')}`);
  return found;
}

/** @throws UserError for what is no site id */
export function checkSites(sites: readonly string[] | null): void {
  const wrong = sites?.find((site) => !SITE.test(site));
  if (wrong !== undefined) throw new UserError(`${JSON.stringify(wrong)} is not a site: expected 1 to 32 of a-z, 0-9 and -`);
}
