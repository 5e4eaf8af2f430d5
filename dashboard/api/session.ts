import type { LiveAlarm } from '../../domain/wire/live.ts';
import { type Answer, callApi } from './call-api.ts';

export const ROLES = ['viewer', 'tender', 'supervisor', 'safety-officer', 'manager', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

export interface Session {
  readonly name: string;
  readonly role: Role;
}

export function readSession(): Promise<Answer<Session>> {
  return callApi<Session>('/api/session');
}

/** What somebody shows: a password, with the code of an authenticator app where that is asked for, or a PIN on a device at the rig. */
export interface Credentials {
  readonly name: string;
  readonly password?: string;
  readonly pin?: string;
  readonly code?: string;
}

export function signIn(credentials: Credentials): Promise<Answer<Session>> {
  return callApi<Session>('/api/session', { method: 'POST', body: credentials });
}

/** How one can sign in on this browser. */
export interface WaysIn {
  /** Everything behind it is made up. */
  readonly demo: boolean;
  /** Name of the company's sign-in; null where there is none. */
  readonly openId: string | null;
  /** Nobody exists yet. */
  readonly firstAdministrator: boolean;
  /** Name of the device at the rig that this browser is; null for any other. */
  readonly device: string | null;
}

export function readWaysIn(): Promise<Answer<WaysIn>> {
  return callApi<WaysIn>('/api/ways-in');
}

export function makeFirstAdministrator(code: string, name: string, password: string): Promise<Answer<unknown>> {
  return callApi('/api/first-administrator', { method: 'POST', body: { code, name, password } });
}

export function signOut(): Promise<Answer<unknown>> {
  return callApi('/api/session', { method: 'DELETE' });
}

/** Who looks on only has no button at all. */
export function mayAcknowledge(role: Role): boolean {
  return role !== 'viewer' && role !== 'manager';
}

/** Who answers for the blaster being out has to be at work on the site; an administrator is not. */
export function mayConfirmOut(role: Role): boolean {
  return mayAcknowledge(role) && role !== 'administrator';
}

/** Letting go of a held alarm is a supervisor's word, not the tender's. */
export function mayReset(role: Role): boolean {
  return mayAcknowledge(role) && role !== 'tender';
}

/** The lowest role that may shelve is said by each alarm; CO and loss of air are the safety officer's alone. */
export function mayShelve(role: Role, shelvableBy: LiveAlarm['shelvableBy']): boolean {
  if (shelvableBy === null) return false;
  return role === 'safety-officer' || (shelvableBy === 'supervisor' && (role === 'supervisor' || role === 'administrator'));
}

/** Out of service needs a second person's word and goes beyond the shift: not a supervisor's. */
export function mayTakeOutOfService(role: Role, shelvableBy: LiveAlarm['shelvableBy']): boolean {
  return shelvableBy !== null && (role === 'safety-officer' || role === 'administrator');
}

/** Steps of the check before blasting are signed by who stands at the rig. */
export function maySignCheck(role: Role): boolean {
  return role === 'tender' || role === 'supervisor';
}

/** That a rig may start is the supervisor's decision. */
export function mayRelease(role: Role): boolean {
  return role === 'supervisor';
}

/** Notes, photos, handover, a changed setup of an open shift, corrections. */
export function mayAddToRecord(role: Role): boolean {
  return role !== 'viewer';
}

/** Starting, handing over and ending a shift. */
export function mayRunShift(role: Role): boolean {
  return role === 'supervisor' || role === 'administrator';
}

/** Notes, entries by hand and who is under the hood. */
export function mayTendRig(role: Role): boolean {
  return role !== 'viewer' && role !== 'manager';
}

/** Judging recorded shifts by other limits, and proposing them. */
export function mayRejudge(role: Role): boolean {
  return role !== 'viewer' && role !== 'tender';
}

/** Whose name under a shift says that it was checked or approved. */
export function maySignOff(role: Role): boolean {
  return role === 'supervisor' || role === 'safety-officer' || role === 'manager';
}

/** What the site is set to, and who changed it. */
export function maySeeSettings(role: Role): boolean {
  return role !== 'viewer' && role !== 'tender';
}

/** Writing the site's configuration file. */
export function mayChangeSettings(role: Role): boolean {
  return role === 'administrator';
}

/** Putting changed alarm settings into force is for one who answers for the whole installation. */
export function mayPutIntoForce(role: Role): boolean {
  return role === 'administrator';
}

/** People, tokens and everybody's sessions. */
export function mayManagePeople(role: Role): boolean {
  return role === 'administrator';
}

/** The link of a wall screen, and the tablet at the rig. */
export function maySetUpScreens(role: Role): boolean {
  return role === 'supervisor' || role === 'administrator';
}

export function maySeeAudit(role: Role): boolean {
  return role === 'safety-officer' || role === 'manager' || role === 'administrator';
}

export function mayTestNotices(role: Role): boolean {
  return role === 'supervisor' || role === 'safety-officer' || role === 'administrator';
}

/** Chooses a password with an administrator's code; signing in comes after it. */
export function redeemCode(name: string, code: string, password: string): Promise<Answer<unknown>> {
  return callApi('/api/one-time-code', { method: 'POST', body: { name, code, password } });
}
