import { onTestFinished } from 'vitest';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { SequencedReading, UplinkBatch } from '../../domain/wire/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { type PotsideServer, type ServerOptions, startServer } from '../../server/server.ts';
import { QUIET } from './quiet.ts';
import { testSite } from './site.ts';
import { tempDir } from './temp-dir.ts';

export const PASSWORD = 'cedar-anvil-42';
export const NOW = Date.UTC(2026, 5, 1, 12);

export interface TestServer {
  readonly server: PotsideServer;
  readonly clock: SettableClock;
  readonly dataDir: string;
  /** Signs somebody of this role in and answers with the cookie. */
  signIn(role: string): Promise<string>;
  call(method: string, path: string, options?: { cookie?: string; body?: unknown; headers?: Record<string, string> }): Promise<Response>;
  /** Hands over readings of rig-a, or of another owner, as a gateway would. */
  send(values: Record<string, number>, atMs?: number, owner?: string): Promise<void>;
}

/** A server on a free port, whose clock the test sets; stopped when the test ends. */
export async function testServer(dataDir = tempDir(), clock = new SettableClock(NOW), port = 0, sites: readonly SiteConfig[] = [testSite()], more: Partial<ServerOptions> = {}): Promise<TestServer> {
  const server = await startServer({
    sites,
    dataDir,
    host: '127.0.0.1',
    port,
    makeClock: () => clock,
    log: QUIET,
    demo: false,
    version: '0.0.0',
    dashboardDir: 'nowhere',
    gateway: { refusals: () => ({ latest: [], counts: {} }), gatewayStatus: () => null },
    ...more,
  });
  onTestFinished(() => server.stop());
  let sequence = 0;
  const call: TestServer['call'] = (method, path, options = {}) =>
    fetch(server.url + path, {
      method,
      headers: { ...(options.cookie ? { cookie: options.cookie } : {}), ...(options.body === undefined ? {} : { 'content-type': 'application/json' }), ...options.headers },
      ...(options.body === undefined ? {} : { body: JSON.stringify(options.body) }),
    });
  return {
    server,
    clock,
    dataDir,
    call,
    signIn: async (role) => {
      await server.accounts.addUser(`the ${role}`, role, PASSWORD);
      const response = await call('POST', '/api/session', { body: { name: `the ${role}`, password: PASSWORD } });
      return (response.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
    },
    send: async (values, atMs = clock.nowMs(), owner = 'rig-a') => {
      const readings = Object.entries(values).map(([point, value]) => ({ ...sequenced(point, value, atMs, ++sequence), owner }));
      await server.deliver(batch(readings));
    },
  };
}

/** A good reading of rig-a's as a gateway hands it over. */
export function sequenced(point: string, value: number, atMs: number, sequence: number): SequencedReading {
  return { owner: 'rig-a', point, value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog: false, sequence };
}

/** A batch of the live lane, sent as its newest reading was received or at `sentAtMs`. */
export function batch(readings: readonly SequencedReading[], sentAtMs?: number): UplinkBatch {
  const through = readings.at(-1)?.sequence ?? 0;
  const newestMs = Math.max(0, ...readings.map(({ receivedAtMs }) => receivedAtMs));
  return { site: 'pier-9', gateway: 'g1', epoch: 'e1', lane: 'live', after: (readings[0]?.sequence ?? 1) - 1, through, sentAtMs: sentAtMs ?? newestMs, readings, links: [] };
}

