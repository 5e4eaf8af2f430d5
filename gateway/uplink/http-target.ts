import { readFileSync } from 'node:fs';
import http, { type IncomingMessage } from 'node:http';
import https from 'node:https';
import { buffer } from 'node:stream/consumers';
import type { TLSSocket } from 'node:tls';
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { UplinkConfig } from '../../domain/shift/site-config.ts';
import { uplinkAck, type UplinkBatch } from '../../domain/wire/uplink.ts';
import { UserError } from '../../host/user-error.ts';
import { BatchRefused } from './batch-refused.ts';
import type { UplinkTarget } from './uplink.ts';

/** A server that says nothing for so long is gone, though the line stands: a half-open link tells no more than this. */
const ANSWER_WITHIN_MS = 10_000;
/** Packing less than this costs more than it saves. */
const PACK_ABOVE_BYTES = 4_096;
const MAX_ANSWER_BYTES = 256 * 1024;
/** Not well-formed, too large. Whatever else is refused may be taken another time: a token can be renewed, a site be set up. */
const OF_THE_BATCH = [400, 413];
const packed = promisify(gzip);

/**
 * A server over the network: a batch is a POST that is answered after the commit. Certificates are checked, against the authority of the
 * configuration or the system's; nothing goes out before that. The token is read anew at each failure, so that it can be replaced; and of
 * several servers of the same record the next one is tried.
 * @throws UserError when a file of the configuration can't be read.
 */
export function httpTarget(config: UplinkConfig): UplinkTarget {
  const urls = [config.url, ...(config.otherUrls ?? [])];
  let failures = 0;
  const settings = { keepAlive: true, maxSockets: 4, timeout: ANSWER_WITHIN_MS };
  const tls = new https.Agent({ ...settings, ...(config.caFile === null ? {} : { ca: read(config.caFile) }), minVersion: 'TLSv1.2' });
  const clear = new http.Agent(settings);
  let token = read(config.tokenFile).trim();
  let certificateUntilMs: number | null = null;
  let tokenUntilMs: number | null = null;

  const post = async (path: string, value: object, isPacked: boolean): Promise<unknown> => {
    const text = Buffer.from(JSON.stringify(value));
    const body = isPacked && text.byteLength > PACK_ABOVE_BYTES ? await packed(text) : text;
    const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json', 'content-length': body.byteLength, ...(body === text ? {} : { 'content-encoding': 'gzip' }) };
    const tried = failures;
    const url = urls[tried % urls.length] ?? config.url;
    try {
      const response = await ask(`${url}/api/uplink/${path}`, { method: 'POST', agent: url.startsWith('https:') ? tls : clear, headers }, body);
      certificateUntilMs = certificateEnd(response) ?? certificateUntilMs;
      return await readAnswer(response);
    } catch (error) {
      // What fails on both lanes at once is one failure; what was refused as it is, would be anywhere.
      if (failures === tried && !(error instanceof BatchRefused)) failures += 1;
      token = read(config.tokenFile).trim();
      throw error;
    }
  };
  return {
    name: config.name,
    certificateUntilMs: () => certificateUntilMs,
    tokenUntilMs: () => tokenUntilMs,
    close: () => {
      tls.destroy();
      clear.destroy();
    },
    deliver: async ({ site, ...batch }: UplinkBatch) => {
      const { tokenUntilMs: until, ...ack } = uplinkAck.parse(await post(encodeURIComponent(site), batch, batch.lane === 'backlog'));
      tokenUntilMs = until ?? null;
      return ack;
    },
    report: async (site, report) => void (await post(`${encodeURIComponent(site)}/report`, report, true)),
  };
}

function ask(url: string, options: http.RequestOptions, body: Buffer): Promise<IncomingMessage> {
  return new Promise((resolve, reject) => {
    const request = (url.startsWith('https:') ? https : http).request(url, options, resolve);
    const timer = setTimeout(() => request.destroy(new Error(`${url} did not answer within ${ANSWER_WITHIN_MS / 1000} s`)), ANSWER_WITHIN_MS);
    request.on('error', reject);
    request.on('close', () => clearTimeout(timer));
    request.end(body);
  });
}

/** The answer's JSON. @throws Error that says what the server said, where it did not take the batch. */
async function readAnswer(response: IncomingMessage): Promise<unknown> {
  if (Number(response.headers['content-length'] ?? 0) > MAX_ANSWER_BYTES) {
    response.destroy();
    throw new Error('the answer is too long to be a server’s of ours');
  }
  const text = (await buffer(response)).toString();
  const isOurs = /^application\/(problem\+)?json/.test(response.headers['content-type'] ?? '');
  // A gate that wants a sign-in answers 200 with a page of its own: that is no server.
  if (!isOurs) throw new Error(`something else answered in the server’s place: status ${response.statusCode}, ${response.headers['content-type'] ?? 'no type'}`);
  const said = JSON.parse(text) as { detail?: unknown };
  if (response.statusCode === 200) return said;
  const words = `the server refused: ${response.statusCode} ${typeof said.detail === 'string' ? said.detail.slice(0, 300) : ''}`;
  const isProblem = response.headers['content-type']?.startsWith('application/problem+json') ?? false;
  throw isProblem && OF_THE_BATCH.includes(response.statusCode ?? 0) ? new BatchRefused(words) : new Error(words);
}

function certificateEnd(response: IncomingMessage): number | null {
  const socket = response.socket as Partial<TLSSocket>;
  const until = Date.parse(socket.getPeerCertificate?.().valid_to ?? '');
  return Number.isNaN(until) ? null : until;
}

function read(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw new UserError(`can't read ${file}, named in uplinks: ${(error as Error).message}`);
  }
}
