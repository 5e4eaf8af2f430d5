import { spawnSync } from 'node:child_process';
import { createDecipheriv, createECDH, createPublicKey, hkdfSync, randomBytes, verify } from 'node:crypto';
import { once } from 'node:events';
import { readFileSync, writeFileSync } from 'node:fs';
import type { IncomingMessage } from 'node:http';
import { createServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { buffer } from 'node:stream/consumers';
import { SMTPServer } from 'smtp-server';
import { Webhook } from 'standardwebhooks';
import { onTestFinished } from 'vitest';
import { tempDir } from './temp-dir.ts';

export interface Certificate {
  readonly key: string;
  readonly cert: string;
  readonly certFile: string;
}

/** A certificate for `localhost`, its own authority. */
export function certificate(): Certificate {
  const dir = tempDir();
  const [keyFile, certFile] = [join(dir, 'key.pem'), join(dir, 'cert.pem')];
  const made = spawnSync('openssl', ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', '-days', '2', '-subj', '/CN=localhost', '-addext', 'subjectAltName=DNS:localhost', '-keyout', keyFile, '-out', certFile], { encoding: 'utf8' });
  if (made.status !== 0) throw new Error(`openssl: ${made.stderr}`);
  return { key: readFileSync(keyFile, 'utf8'), cert: readFileSync(certFile, 'utf8'), certFile };
}

type Answer = (n: number) => { readonly status: number; readonly headers?: Record<string, string> } | 'hang';

async function httpsServer(tls: Certificate, take: (request: IncomingMessage, body: Buffer) => void, answer: Answer): Promise<number> {
  let n = 0;
  const server = createServer({ key: tls.key, cert: tls.cert }, (request, response) => {
    void buffer(request).then((body) => {
      take(request, body);
      const said = answer(++n);
      if (said !== 'hang') response.writeHead(said.status, said.headers).end();
    });
  }).listen(0, 'localhost');
  await once(server, 'listening');
  onTestFinished(() => {
    server.closeAllConnections();
    server.close();
  });
  return (server.address() as AddressInfo).port;
}

export interface WebhookReceiver {
  readonly url: string;
  readonly secretFile: string;
  /** What came, verified: id and data. */
  readonly taken: { id: string; type: string; data: { title: string; alarm: string | null; lines: string[]; priority: string | null; seal?: { shift: string; root: string; key: string } } }[];
}

/** Takes webhooks, and only those whose signature holds. */
export async function webhookReceiver(tls: Certificate, answer: Answer = () => ({ status: 204 })): Promise<WebhookReceiver> {
  const secret = `whsec_${randomBytes(24).toString('base64')}`;
  const secretFile = join(tempDir(), 'webhook.secret');
  writeFileSync(secretFile, `${secret}\n`);
  const taken: WebhookReceiver['taken'] = [];
  const port = await httpsServer(tls, (request, body) => {
    const headers = request.headers as Record<string, string>;
    const said = new Webhook(secret).verify(body.toString(), headers) as { type: string; data: WebhookReceiver['taken'][number]['data'] };
    taken.push({ id: headers['webhook-id'] ?? '', ...said });
  }, answer);
  return { url: `https://localhost:${port}/hook`, secretFile, taken };
}

export interface PushService {
  /** What a browser would hand to the page. */
  subscription(): { endpoint: string; keys: { p256dh: string; auth: string } };
  readonly taken: { payload: { id: string; title: string; alarm: string | null; kind: string }; ttl: string; urgency: string }[];
}

/** A push service with the browser behind it: checks the server's signature (RFC 8292) and really decrypts (RFC 8291, RFC 8188). */
export async function pushService(tls: Certificate, serverKey: () => string, answer: Answer = () => ({ status: 201 })): Promise<PushService> {
  const browser = createECDH('prime256v1');
  browser.generateKeys();
  const auth = randomBytes(16);
  const taken: PushService['taken'] = [];
  const port = await httpsServer(tls, (request, body) => {
    checkVapid(request.headers.authorization ?? '', serverKey(), `https://localhost:${port}`);
    taken.push({ payload: JSON.parse(decrypt(body, browser, auth)) as never, ttl: String(request.headers['ttl']), urgency: String(request.headers['urgency']) });
  }, answer);
  let n = 0;
  return { taken, subscription: () => ({ endpoint: `https://localhost:${port}/send/${++n}`, keys: { p256dh: browser.getPublicKey('base64url'), auth: auth.toString('base64url') } }) };
}

function checkVapid(authorization: string, serverKey: string, audience: string): void {
  const match = /^vapid t=([\w-]+)\.([\w-]+)\.([\w-]+), ?k=([\w-]+)$/.exec(authorization);
  const [, header = '', claims = '', signature = '', key = ''] = match ?? [];
  const point = Buffer.from(key, 'base64url');
  const jwk = { kty: 'EC', crv: 'P-256', x: point.subarray(1, 33).toString('base64url'), y: point.subarray(33).toString('base64url') };
  const holds = verify('sha256', Buffer.from(`${header}.${claims}`), { key: createPublicKey({ key: jwk, format: 'jwk' }), dsaEncoding: 'ieee-p1363' }, Buffer.from(signature, 'base64url'));
  const said = JSON.parse(Buffer.from(claims, 'base64url').toString()) as { aud: string; exp: number; sub: string };
  if (!holds || key !== serverKey || said.aud !== audience || said.exp * 1000 < Date.now() || !/^(https:|mailto:)/.test(said.sub)) throw new Error(`VAPID does not hold: ${authorization}`);
}

/** RFC 8291 section 3.4 and RFC 8188 section 2: one record. */
function decrypt(body: Buffer, browser: ReturnType<typeof createECDH>, auth: Buffer): string {
  const salt = body.subarray(0, 16);
  const keyLength = body[20] ?? 0;
  const sender = body.subarray(21, 21 + keyLength);
  const sealed = body.subarray(21 + keyLength);
  const info = Buffer.concat([Buffer.from('WebPush: info\0'), browser.getPublicKey(), sender]);
  const ikm = Buffer.from(hkdfSync('sha256', browser.computeSecret(sender), auth, info, 32));
  const key = Buffer.from(hkdfSync('sha256', ikm, salt, 'Content-Encoding: aes128gcm\0', 16));
  const nonce = Buffer.from(hkdfSync('sha256', ikm, salt, 'Content-Encoding: nonce\0', 12));
  const decipher = createDecipheriv('aes-128-gcm', key, nonce);
  decipher.setAuthTag(sealed.subarray(-16));
  const padded = Buffer.concat([decipher.update(sealed.subarray(0, -16)), decipher.final()]);
  return padded.subarray(0, padded.lastIndexOf(2)).toString();
}

export interface MailServer {
  readonly port: number;
  readonly taken: { to: string; raw: string; messageId: string }[];
}

/** A mail relay. `answer`: an SMTP code other than 250, or `hang` after DATA, by the number of the message. */
export async function mailServer(answer: (n: number) => number | 'hang' = () => 250): Promise<MailServer> {
  const taken: MailServer['taken'] = [];
  let n = 0;
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS', 'AUTH'],
    onData: (stream, session, done) => {
      void buffer(stream).then((body) => {
        const raw = body.toString().replaceAll(/=\r?\n/g, '');
        const said = answer(++n);
        if (said === 'hang') return;
        if (said !== 250) return done(Object.assign(new Error('not now'), { responseCode: said }));
        taken.push({ to: session.envelope.rcptTo[0]?.address ?? '', raw, messageId: /^Message-ID: (.*)$/im.exec(raw)?.[1] ?? '' });
        done();
      });
    },
  });
  server.on('error', () => undefined);
  server.listen(0, '127.0.0.1');
  await once(server.server, 'listening');
  onTestFinished(() => void server.close());
  return { port: (server.server.address() as AddressInfo).port, taken };
}
