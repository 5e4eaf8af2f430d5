import webPush, { WebPushError } from 'web-push';
import type { PushMessage } from '../../domain/wire/push-message.ts';
import { type Channel, failed, type Message, type Outcome, withinTime } from './channel.ts';
import type { Contacts } from './contacts.ts';
import { outwardAgent, wrongUrl } from './outward-agent.ts';
import type { PushKeys } from './push-keys.ts';

export interface PushOptions {
  readonly keys: PushKeys;
  /** `https:` or `mailto:`, whom the push service may turn to (RFC 8292). */
  readonly subject: string;
  readonly contacts: Contacts;
  readonly ownHosts: readonly string[];
  readonly ca: string | null;
}

/** A phone that is off for longer learns it from the page. */
const TTL_S = { critical: 3_600, high: 1_800, medium: 900, low: 900 } as const;
/** Encrypted and padded, a push holds about 4 KB. */
const MAX_BYTES = 3_000;

/** Web Push (RFC 8030, 8291, 8292). `accepted`: the push service took it; not shown yet, and not read. */
export function pushChannel({ keys, subject, contacts, ownHosts, ca }: PushOptions): Channel {
  const agent = outwardAgent(ownHosts, ca === null ? {} : { ca });
  const send = async (id: string, message: Message, timeoutMs: number): Promise<Outcome> => {
    const held = await contacts.subscription(id);
    if (!held) return { kind: 'failed', detail: 'this browser is not subscribed any more', isFinal: true };
    const wrong = wrongUrl(held.endpoint, ownHosts);
    if (wrong !== null) return { kind: 'failed', detail: wrong, isFinal: true };
    try {
      const { statusCode } = await webPush.sendNotification({ endpoint: held.endpoint, keys: { p256dh: held.p256dh, auth: held.auth } }, payloadOf(message), {
        vapidDetails: { subject, publicKey: keys.publicKey, privateKey: keys.privateKey },
        TTL: TTL_S[message.priority ?? 'low'],
        urgency: message.priority === 'medium' || message.priority === null ? 'normal' : 'high',
        contentEncoding: 'aes128gcm',
        timeout: timeoutMs,
        agent,
      });
      return { kind: 'accepted', detail: `${statusCode}` };
    } catch (error) {
      if (!(error instanceof WebPushError)) return failed(error);
      const { statusCode } = error;
      const isGone = statusCode === 404 || statusCode === 410;
      if (isGone) await contacts.unsubscribe(id, held.name, { by: 'potside', role: 'system', address: 'server' }, `the push service answered ${statusCode}`);
      const retryAfterS = Number(error.headers['retry-after']);
      return { kind: 'failed', detail: `${statusCode}`, isFinal: isGone || statusCode === 413, ...(retryAfterS > 0 ? { retryAfterMs: retryAfterS * 1000 } : {}) };
    }
  };
  return { send: (id, message, timeoutMs) => withinTime(timeoutMs, send(id, message, timeoutMs)), close: () => agent.destroy() };
}

/** What the page's worker shows; cut to what fits. */
function payloadOf({ id, kind, site, siteName, priority, title, lines, alarm, language, atMs }: Message): string {
  const kept = [...lines];
  const said: PushMessage = { id, kind, site, siteName, priority, title, lines: kept, alarm, language, atMs };
  while (Buffer.byteLength(JSON.stringify(said)) > MAX_BYTES && kept.length > 1) kept.pop();
  return JSON.stringify(said).slice(0, MAX_BYTES * 2);
}
