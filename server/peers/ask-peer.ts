import type { Holder } from '../record/postgres/leases.ts';
import { ProblemError } from '../api/problem-error.ts';
import type { PeerMessage } from './peer-message.ts';

/** A server that does not answer within this has lost the site, or is about to. */
const ANSWER_WITHIN_MS = 5_000;

export const peerPath = (site: string): string => `/peers/${encodeURIComponent(site)}`;

/** Where nobody can do it now: the site is on its way from one server to another, or its server can't be reached. */
function moving(site: string, why: string): ProblemError {
  return new ProblemError(503, 'Moving', `site ${site} is with another server, which ${why}: try again in a few seconds`);
}

/** Hands a message on to the server that has the site. @throws ProblemError 503 where that does not answer, or is not it any more */
export async function askPeer(site: string, holder: Holder | null, message: PeerMessage): Promise<unknown> {
  if (!holder) throw moving(site, 'is not known yet');
  let response: Response;
  let answer: unknown;
  try {
    response = await fetch(holder.address + peerPath(site), {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${holder.secret}` },
      body: JSON.stringify(message),
      signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
      redirect: 'error',
    });
    answer = await response.json();
  } catch (error) {
    throw moving(site, `could not be reached at ${holder.address} (${(error as Error).message})`);
  }
  if (response.ok) return answer;
  const { detail } = answer as { detail?: unknown };
  if (response.status === 421) throw moving(site, 'does not have it any more');
  throw new ProblemError(response.status, 'Refused by the site’s server', typeof detail === 'string' ? detail : `status ${response.status}`);
}
