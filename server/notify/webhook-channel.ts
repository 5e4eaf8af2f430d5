import { readFileSync } from 'node:fs';
import { request as httpsRequest } from 'node:https';
import { Webhook } from 'standardwebhooks';
import type { WebhookConfig } from '../../domain/shift/server-config.ts';
import type { Clock } from '../../host/clock.ts';
import { type Channel, failed, type Message, type Outcome, withinTime } from './channel.ts';
import type { SealBody } from './notice.ts';
import { outwardAgent, wrongUrl } from './outward-agent.ts';

export interface WebhookOptions {
  readonly hooks: readonly WebhookConfig[];
  readonly ownHosts: readonly string[];
  readonly ca: string | null;
  readonly clock: Clock;
}

const TYPES = { alarm: 'potside.alarm', digest: 'potside.alarms', test: 'potside.test', seal: 'potside.seal' } as const;

/** Webhooks signed by the Standard Webhooks. `accepted`: their first server answered with 2xx. No redirect is followed. */
export function webhookChannel({ hooks, ownHosts, ca, clock }: WebhookOptions): Channel {
  const agent = outwardAgent(ownHosts, ca === null ? {} : { ca });
  const post = (hook: WebhookConfig, message: Message, timeoutMs: number): Promise<Outcome> => {
    const body = JSON.stringify({
      type: TYPES[message.kind],
      timestamp: new Date(message.atMs).toISOString(),
      data: { site: message.site, siteName: message.siteName, priority: message.priority, title: message.title, lines: message.lines, alarm: message.alarm, language: message.language, link: message.link, ...(message.seal ? { seal: written(message.seal) } : {}) },
    });
    const sentAt = new Date(clock.nowMs());
    const headers = {
      'content-type': 'application/json',
      'user-agent': 'potside',
      'webhook-id': message.id,
      'webhook-timestamp': String(Math.floor(sentAt.getTime() / 1000)),
      'webhook-signature': new Webhook(readFileSync(hook.secretFile, 'utf8').trim()).sign(message.id, sentAt, body),
    };
    return new Promise<Outcome>((resolve) => {
      const request = httpsRequest(hook.url, { method: 'POST', agent, headers, timeout: timeoutMs, signal: AbortSignal.timeout(timeoutMs) }, (response) => {
        response.resume();
        const status = response.statusCode ?? 0;
        if (status >= 200 && status < 300) return resolve({ kind: 'accepted', detail: `${status}` });
        const retryAfterS = Number(response.headers['retry-after']);
        resolve({ kind: 'failed', detail: `${status}`, isFinal: status === 410 || (status >= 300 && status < 400), ...(retryAfterS > 0 ? { retryAfterMs: retryAfterS * 1000 } : {}) });
      });
      request.on('error', (error) => resolve(failed(error)));
      request.end(body);
    });
  };
  const send = async (id: string, message: Message, timeoutMs: number): Promise<Outcome> => {
    const hook = hooks.find((one) => one.id === id);
    if (!hook) return { kind: 'failed', detail: `there is no webhook ${id} any more`, isFinal: true };
    const wrong = wrongUrl(hook.url, ownHosts);
    if (wrong !== null) return { kind: 'failed', detail: wrong, isFinal: true };
    try {
      return await post(hook, message, timeoutMs);
    } catch (error) {
      return failed(error);
    }
  };
  return { send: (id, message, timeoutMs) => withinTime(timeoutMs, send(id, message, timeoutMs)), close: () => agent.destroy() };
}

/** With times as text, as everywhere in JSON that leaves. */
function written({ sealedAtMs, signOffs, ...rest }: SealBody): object {
  const iso = (ms: number): string => new Date(ms).toISOString();
  return { ...rest, sealedAt: iso(sealedAtMs), signOffs: signOffs.map(({ atMs, ...by }) => ({ ...by, at: iso(atMs) })) };
}
