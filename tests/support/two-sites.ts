import { onTestFinished } from 'vitest';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { type PotsideServer, startServer } from '../../server/server.ts';
import { QUIET } from './quiet.ts';
import { batch, NOW, PASSWORD } from './server.ts';
import { SITE_YAML, testSite } from './site.ts';
import { siteFile } from './site-file.ts';
import { tempDir } from './temp-dir.ts';

const OTHER = `
site: { id: hall-2, name: Hall 2, zone: America/Chicago }
rigs:
  - { id: rig-z, name: Rig Z in Hall 2 }
`;

interface SiteThings {
  readonly site: string;
  readonly rig: string;
  readonly shift: string;
  readonly alarm: string;
}

export interface TwoSites {
  readonly server: PotsideServer;
  readonly clock: SettableClock;
  readonly dataDir: string;
  /** Signs somebody of this role in, who sees these sites; the cookie. */
  signIn(role: string, sites: readonly string[] | null): Promise<string>;
  sendTo(site: string, rig: string, values: Record<string, number>): Promise<void>;
  /** A shift that runs and a CO alarm that stands, on both sites. */
  things(): Promise<{ own: SiteThings; foreign: SiteThings }>;
}

/** One server with two sites, `pier-9` and `hall-2`; stopped when the test ends. */
export async function twoSites(): Promise<TwoSites> {
  const clock = new SettableClock(NOW);
  const dataDir = tempDir();
  const server = await startServer({
    sites: [testSite(), testSite(OTHER)], dataDir, host: '127.0.0.1', port: 0, makeClock: () => clock, log: QUIET, demo: false, version: '0.0.0', dashboardDir: 'nowhere',
    gateway: { refusals: () => ({ latest: [], counts: {} }), gatewayStatus: () => null },
    requestsPerMinute: 100_000,
    settings: { files: new Map([['pier-9', siteFile(SITE_YAML, dataDir, 'pier-9.yaml')], ['hall-2', siteFile(OTHER, dataDir, 'hall-2.yaml')]]), first: null, onChanged: () => undefined, restart: null },
  });
  onTestFinished(() => server.stop());
  let sequence = 0;
  const sendTo: TwoSites['sendTo'] = async (site, rig, values) => {
    const atMs = clock.nowMs();
    const readings = Object.entries(values).map(([point, value]): SequencedReading => ({ owner: rig, point, value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog: false, sequence: ++sequence }));
    await server.deliver({ ...batch(readings), site });
  };
  const on = async (site: string, rig: string): Promise<SiteThings> => {
    const writer = server.writer(site);
    if (!writer) throw new Error(`no site ${site}`);
    await sendTo(site, rig, { 'breathing-air-co': 15 });
    const { shift } = await writer.act({ kind: 'start-shift', rig, by: 'test', role: 'supervisor', from: 'test', key: `start-${rig}-1` });
    const alarm = [...writer.state.alarms()].find(({ track }) => track.occurrence)?.track.occurrence?.id ?? '';
    return { site, rig, shift: shift?.id ?? '', alarm };
  };
  return {
    server,
    clock,
    dataDir,
    sendTo,
    signIn: async (role, sites) => {
      const name = `the ${role}`;
      await server.accounts.addUser(name, role, PASSWORD, { sites });
      const response = await fetch(`${server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name, password: PASSWORD }) });
      return (response.headers.getSetCookie()[0] ?? '').split(';')[0] ?? '';
    },
    things: async () => ({ own: await on('pier-9', 'rig-a'), foreign: await on('hall-2', 'rig-z') }),
  };
}
