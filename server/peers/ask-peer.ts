import { X509Certificate } from 'node:crypto';
import http, { type IncomingMessage } from 'node:http';
import https from 'node:https';
import { text } from 'node:stream/consumers';
import type { Holder } from '../record/postgres/leases.ts';
import { ProblemError } from '../api/problem-error.ts';
import type { PeerMessage } from './peer-message.ts';

/** A server that does not answer within this has lost the site, or is about to. */
const ANSWER_WITHIN_MS = 5_000;
/** An unused connection is given up here before the other server closes it: one that closes just then would lose a message. */
const UNUSED_MS = 3_000;

const clear = new http.Agent({ keepAlive: true, timeout: UNUSED_MS });
const tls = new https.Agent({ keepAlive: true, timeout: UNUSED_MS, minVersion: 'TLSv1.2' });

export const peerPath = (site: string): string => `/peers/${encodeURIComponent(site)}`;

/** Where nobody can do it now: the site is on its way from one server to another, or its server can't be reached. */
function moving(site: string, why: string): ProblemError {
  return new ProblemError(503, 'Moving', `site ${site} is with another server, which ${why}: try again in a few seconds`);
}

/** Hands a message on to the server that has the site. @throws ProblemError 503 where that does not answer, or is not it any more */
export async function askPeer(site: string, holder: Holder | null, message: PeerMessage): Promise<unknown> {
  if (!holder) throw moving(site, 'is not known yet');
  let status: number;
  let answer: unknown;
  try {
    const response = await post(holder, peerPath(site), Buffer.from(JSON.stringify(message)));
    status = response.statusCode ?? 0;
    answer = JSON.parse(await text(response));
  } catch (error) {
    throw moving(site, `could not be reached at ${holder.address} (${(error as Error).message})`);
  }
  if (status === 200) return answer;
  const { detail } = answer as { detail?: unknown };
  if (status === 421) throw moving(site, 'does not have it any more');
  throw new ProblemError(status, 'Refused by the site’s server', typeof detail === 'string' ? detail : `status ${status}`);
}

/** Nothing goes out, the secret least of all, before the other end has proved who it is. */
function post(holder: Holder, path: string, body: Buffer): Promise<IncomingMessage> {
  const isTls = holder.address.startsWith('https:');
  const options: https.RequestOptions = {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'content-length': body.byteLength, authorization: `Bearer ${holder.secret}` },
    signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
    ...(isTls ? { agent: tls, ...trusting(holder.certificate) } : { agent: clear }),
  };
  return new Promise((resolve, reject) => {
    (isTls ? https : http).request(holder.address + path, options, resolve).on('error', reject).end(body);
  });
}

/**
 * The certificate that the server itself has told the database, and no other, whoever issued it and whatever name is in it: the servers may
 * have one for the name of their balancer, or of an authority that only the browsers know. Null: as the system's authorities say. Decision 0035.
 */
function trusting(certificate: string | null): https.RequestOptions {
  if (certificate === null) return {};
  const { fingerprint256 } = new X509Certificate(certificate);
  return {
    ca: certificate,
    allowPartialTrustChain: true,
    checkServerIdentity: (_host, shown) => (shown.fingerprint256 === fingerprint256 ? undefined : new Error('it shows another certificate than it told the database')),
  };
}
