import { type Answer, callApi } from './call-api.ts';
import type { Role } from './session.ts';

/** The made-up site beside a Potside that has no site yet. */
export interface Demonstration {
  readonly state: 'off' | 'starting' | 'running' | 'failed';
  /** On the loopback of the machine that Potside runs on; null unless it runs. */
  readonly url: string | null;
  readonly people: readonly { readonly name: string; readonly password: string; readonly role: Role }[];
  readonly why: string | null;
}

const PATH = '/api/demonstration';
/** It is asked to close, and given time to. */
const END_WITHIN_MS = 12_000;

export function readDemonstration(): Promise<Answer<Demonstration>> {
  return callApi(PATH);
}

export function startDemonstration(): Promise<Answer<Demonstration>> {
  return callApi(PATH, { method: 'POST' });
}

export function endDemonstration(): Promise<Answer<Demonstration>> {
  return callApi(PATH, { method: 'DELETE', timeoutMs: END_WITHIN_MS });
}
