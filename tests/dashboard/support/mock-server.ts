import Fastify from 'fastify';
import { Server } from 'socket.io';
import { type BrowserToServer, LIVE_PROTOCOL, type LiveAlarm, type LiveFlood, type LivePoint, type LiveSite, type ServerToBrowser } from '../../../domain/wire/live.ts';
import { SECURITY_HEADERS } from '../../../server/api/security-headers.ts';
import { servePage } from '../../../server/api/serve-page.ts';
import { SITE, fabricatedPoints, fabricatedSite, notGood, rigIds } from './fabricated-site.ts';
import { fabricatedReadiness } from './fabricated-readiness.ts';
import { fabricatedTrace } from './fabricated-trace.ts';
import { type SentOrder, mockAlarmRoutes } from './mock-alarm-routes.ts';
import { type MockShifts, mockShiftRoutes } from './mock-shift-routes.ts';
import { type Scenario, alarmsOf, rigsOf } from './scenarios.ts';

/** A stand-in for the server on a loopback port: serves the built page, signs anyone in, pushes a made-up site, and can fall silent. */
export interface MockServer {
  readonly url: string;
  play(scenario: Scenario): void;
  /** Skips one revision, as when a push is lost on the way. */
  losePush(): void;
  /** Stops every push while the sockets stay open, as a frozen server would. */
  freeze(isFrozen: boolean): void;
  change(site: Partial<LiveSite>): void;
  /** No shift runs on this rig. */
  free(rig: string): void;
  /** Raises one more alarm. */
  raise(alarm: LiveAlarm): void;
  /** When it gave snapshots, by the wall clock, ms. */
  readonly snapshots: readonly number[];
  /** Orders that people have sent, oldest first. */
  readonly orders: readonly SentOrder[];
  /** Recorded shifts and what was asked of them. */
  readonly shifts: MockShifts;
  /** Sites beside the one that scenarios are about. */
  join(others: OtherSites): void;
  /** From the next sign-in or reload on, somebody else is at this page. */
  become(name: string, role: string): void;
  close(): Promise<void>;
}

export interface OtherSites {
  readonly sites: () => readonly LiveSite[];
  readonly points: () => readonly LivePoint[];
  readonly alarms: readonly LiveAlarm[];
}

export async function startMockServer(options: { page: string; role?: string }): Promise<MockServer> {
  const app = Fastify({ forceCloseConnections: true });
  let role = options.role ?? 'supervisor';
  let name = 'casey';
  let scenario: Scenario = 'normal';
  let isFrozen = false;
  let isSignedIn = false;
  let siteChanges: Partial<LiveSite> = {};
  let revision = 1;
  const boot = `boot-${process.pid}`;
  const startedAtMs = Date.now();
  let alarms: LiveAlarm[] = [];
  let others: OtherSites = { sites: () => [], points: () => [], alarms: [] };

  app.addHook('onSend', async (_request, reply) => {
    // The policy the real server sets: a page that needs more would break there, so it has to break here.
    reply.header('content-security-policy', SECURITY_HEADERS['content-security-policy']);
  });
  await servePage(app, options.page);
  app.get('/api/session', async (_request, reply) => (isSignedIn ? { name, role } : reply.code(401).send({ type: 'about:blank', title: 'Not signed in', status: 401, detail: 'Sign in first.' })));
  app.get('/api/ways-in', () => ({ demo: false, openId: null, firstAdministrator: false, device: null }));
  app.post<{ Body: { name: string; password: string } }>('/api/session', async (request, reply) => {
    if (request.body.password === 'wrong') return reply.code(401).send({ type: 'about:blank', title: 'Not signed in', status: 401, detail: 'No.' });
    isSignedIn = true;
    name = request.body.name;
    return { name, role };
  });
  app.delete('/api/session', async (_request, reply) => {
    isSignedIn = false;
    return reply.code(204).send();
  });
  const snapshots: number[] = [];
  const orders: SentOrder[] = [];
  mockAlarmRoutes(app, {
    alarms: () => alarms,
    change(id, change) {
      alarms = alarms.map((a) => (a.id === id ? change(a) : a));
      pushAlarms([id]);
    },
    orders,
  });
  app.get<{ Params: { rig: string }; Querystring: { points: string; from: string; to: string; width: string } }>('/api/rigs/:rig/trace', async (request) => {
    const { points, from, to, width } = request.query;
    return fabricatedTrace(request.params.rig, points.split(','), Date.parse(from), Date.parse(to), Number(width), scenario === 'nozzle' && request.params.rig === 'rig-a' ? 15 : 0);
  });
  app.get<{ Params: { rig: string } }>('/api/rigs/:rig/readiness', async (request) => fabricatedReadiness(request.params.rig, Date.now()));
  const shifts = mockShiftRoutes(app, () => ({ name, role }), (rig, way, who) => {
    const rigs = (siteChanges.rigs ?? site().rigs).map((one) => (one.id === rig ? { ...one, underHood: [...one.underHood.filter((other) => other.name !== who), ...(way === 'in' ? [{ name: who, sinceMs: Date.now() }] : [])] } : one));
    siteChanges = { ...siteChanges, rigs };
    io.emit('sites', { boot, revision: ++revision, serverNowMs: Date.now(), sites: [site(), ...others.sites()] });
  });
  await app.listen({ host: '127.0.0.1', port: 0 });

  const io = new Server<BrowserToServer, ServerToBrowser>(app.server, { transports: ['websocket'] });
  const site = (): LiveSite => fabricatedSite(startedAtMs, { ...siteChanges, gatewayAtMs: Date.now() }, rigsOf(scenario));
  const pointsNow = (): LivePoint[] => {
    const now = Date.now();
    const points = fabricatedPoints(now, {
      'rig-a': { isBlasting: true, coPpm: scenario === 'co' || scenario === 'list' ? 13.4 : 3.1, extraLossPsi: scenario === 'nozzle' ? 15 : 0 },
      'rig-b': { isBlasting: scenario !== 'normal', coPpm: rigsOf(scenario) === 4 ? 16.2 : 1.8, extraLossPsi: 0 },
      ...Object.fromEntries(rigIds(rigsOf(scenario)).slice(2).map((id, index) => [id, { isBlasting: index % 4 !== 3, coPpm: 1.1 + (index % 5) * 0.6, extraLossPsi: 0 }])),
    });
    if (scenario !== 'lost') return points;
    return points
      .filter((p) => !(p.owner === 'rig-b' && (p.id === 'supply-pressure' || p.id === 'remote-control')))
      .map((p) => (p.owner === 'rig-a' && (p.id === 'nozzle-pressure' || p.id === 'breathing-air-co') ? { ...notGood(p, 'stale'), atMs: now - 83_000 } : p));
  };
  const pushAlarms = (changed: string[]): void => void io.emit('alarms', { boot, revision: ++revision, serverNowMs: Date.now(), site: SITE, alarms, changed, flood: flood() });

  const flood = (): LiveFlood | null => (scenario === 'flood' ? { sinceMs: Date.now() - 240_000, count: 23, windowMs: 600_000 } : null);

  io.on('connection', (socket) => {
    const greet = (): void => {
      if (isFrozen) return;
      snapshots.push(Date.now());
      socket.emit('snapshot', { boot, revision, serverNowMs: Date.now(), protocol: LIVE_PROTOCOL, sites: [site(), ...others.sites()], points: [...pointsNow(), ...others.points()], alarms: [...alarms, ...others.alarms], floods: scenario === 'flood' ? { [SITE]: flood() as LiveFlood } : {} });
    };
    greet();
    socket.on('resync', greet);
  });
  const timer = setInterval(() => {
    if (!isFrozen) io.emit('live', { boot, revision: ++revision, serverNowMs: Date.now(), points: [...pointsNow(), ...others.points()] });
  }, 250);

  const address = app.server.address();
  return {
    url: `http://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`,
    play(next) {
      const before = rigsOf(scenario);
      scenario = next;
      if (rigsOf(next) !== before) io.emit('sites', { boot, revision: ++revision, serverNowMs: Date.now(), sites: [site(), ...others.sites()] });
      alarms = alarmsOf(next, Date.now());
      pushAlarms(alarms.map((a) => a.id));
    },
    join(more) {
      others = more;
      io.emit('sites', { boot, revision: ++revision, serverNowMs: Date.now(), sites: [site(), ...others.sites()] });
      for (const { id } of others.sites()) io.emit('alarms', { boot, revision: ++revision, serverNowMs: Date.now(), site: id, alarms: others.alarms.filter((alarm) => alarm.site === id), changed: [], flood: null });
    },
    losePush() {
      revision += 1;
    },
    freeze(frozen) {
      isFrozen = frozen;
    },
    change(changes) {
      siteChanges = changes;
      io.emit('sites', { boot, revision: ++revision, serverNowMs: Date.now(), sites: [site(), ...others.sites()] });
    },
    free(rig) {
      siteChanges = { ...siteChanges, rigs: site().rigs.map((one) => (one.id === rig ? { ...one, shift: null } : one)) };
      io.emit('sites', { boot, revision: ++revision, serverNowMs: Date.now(), sites: [site(), ...others.sites()] });
    },
    raise(alarm) {
      alarms = [...alarms, alarm];
      pushAlarms([alarm.id]);
    },
    orders,
    snapshots,
    shifts,
    become(nextName, nextRole) {
      name = nextName;
      role = nextRole;
    },
    async close() {
      clearInterval(timer);
      await io.close();
      await app.close();
    },
  };
}
