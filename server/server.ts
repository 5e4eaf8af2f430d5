import { X509Certificate } from 'node:crypto';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import type { GatewayReport } from '../domain/wire/gateway-report.ts';
import type { UplinkAck, UplinkBatch } from '../domain/wire/uplink.ts';
import type { Clock } from '../host/clock.ts';
import type { Log } from '../host/log.ts';
import { UserError } from '../host/user-error.ts';
import { Accounts } from './access/accounts.ts';
import { FirstAdministrator } from './access/first-administrator.ts';
import { cookieNames } from './access/identify.ts';
import { OpenId } from './access/open-id.ts';
import { maySeeSite, withinReach } from './access/reach.ts';
import { SignIn } from './access/sign-in.ts';
import { storeWithinReach } from './access/store-within-reach.ts';
import type { ApiContext } from './api/context.ts';
import { openRecordKey } from './bundle/record-key.ts';
import { createExporter } from './export/exporter.ts';
import { ShiftCloser } from './export/shift-closer.ts';
import { watchGateways } from './alarms/watch-gateways.ts';
import { createApi, type Tls } from './api/create-api.ts';
import type { GuardedRoute } from './api/guard-routes.ts';
import { findLater } from './intake/find-later.ts';
import { GatewayReports, type HeardReport } from './intake/gateway-reports.ts';
import type { Demonstration } from './demonstration/demonstration.ts';
import type { DrillRunner } from './drills/drill-runner.ts';
import type { Site } from './intake/site.ts';
import { type Notify, startNotify } from './notify/start-notify.ts';
import { LiveHub } from './live/live-hub.ts';
import { createPushServer, type PushServer } from './live/push-server.ts';
import { Settings, type SettingsHouse } from './settings/settings.ts';
import { eraseDue } from './record/erase-due.ts';
import { openSites } from './open-sites.ts';
import { peerRoute } from './peers/peer-route.ts';
import { keepPacking } from './record/keep-packing.ts';
import { openStore } from './record/open-store.ts';
import type { Emit } from './live/live-hub.ts';

export interface PotsideServer {
  readonly url: string;
  readonly accounts: Accounts;
  /** The one-time code that makes the first administrator; null once there is anybody. */
  readonly firstAdministratorCode: string | null;
  /** Every route of the API with what it asks of who calls it. */
  readonly routes: readonly GuardedRoute[];
  /** The way in for gateways; resolves after the commit. */
  deliver(batch: UplinkBatch): Promise<UplinkAck>;
  writer(site: string): Site | undefined;
  /** A recorded shift is played again on a training site, or, with null, no longer. */
  noteReplay(site: string, record: string | null): Promise<void>;
  /** Called after each commit, of whatever site. */
  onCommit(listener: () => void): void;
  pagesConnected(): number;
  /** What nobody on a site's plan was told in time, in words; null where somebody was told of everything. */
  untold(site: string): string | null;
  stop(): Promise<void>;
}

export interface ServerOptions {
  readonly sites: readonly SiteConfig[];
  readonly dataDir: string;
  /** Address of a PostgreSQL for record, people and notices; null or left out: a file in the data directory. */
  readonly database?: string | null;
  readonly host: string;
  readonly port: number;
  /** Address at which other servers of the same database reach this one; null or left out: the one it listens at. */
  readonly advertise?: string | null;
  /** Null: in clear, on loopback or behind a proxy. */
  readonly tls?: Tls | null;
  readonly makeClock: (notBeforeMs: number) => Clock;
  readonly log: Log;
  readonly demo: boolean;
  readonly version: string;
  readonly dashboardDir: string;
  /** Addresses of the proxies in front; null: none. */
  readonly trustProxy?: readonly string[] | null;
  /** Bound of the rate limit, where a test needs another. */
  readonly requestsPerMinute?: number;
  /** What the gateway in this process can tell; asked for at each request. */
  readonly gateway: Pick<ApiContext, 'refusals' | 'gatewayStatus'> & { readonly lookAround?: (site: string) => void; readonly report?: (site: string) => GatewayReport | null };
  /** The files behind the sites; absent where there are none, as in tests. */
  readonly settings?: SettingsHouse;
  /** Plays drills on training sites; absent where nothing does. */
  readonly drills?: DrillRunner;
  /** Starts a demonstration beside a server that has no site; absent where there is one. */
  readonly demonstration?: Demonstration;
}

/** A wall clock that moved by more than this is told in the journal. */
const CLOCK_JUMP_MS = 2_000;
const CLOCK_CHECK_MS = 5_000;

const NO_FILES: SettingsHouse = { files: new Map(), first: null, onChanged: () => undefined, restart: null };

/** Opens the record, rebuilds the sites from it and listens. */
export async function startServer(options: ServerOptions): Promise<PotsideServer> {
  const { log } = options;
  const place = { dataDir: options.dataDir, database: options.database ?? null };
  const { store, sql } = await openStore(place, log);
  const clock = options.makeClock(await store.newestAtMs());
  const accounts = new Accounts(sql, clock);
  const firstAdministrator = await FirstAdministrator.open(accounts);
  let push: PushServer | null = null;
  const emit: Emit = (room, event, message, how) => push?.emit(room, event, message, how);
  /** One after the other: what was said last must stand. */
  let noting: Promise<void> = Promise.resolve();
  const replaying = new Map<string, string | null>();
  for (const { site } of options.sites) replaying.set(site.id, await store.replays.running(site.id));
  const hub = new LiveHub({ clock, demo: options.demo, replayOf: (site) => replaying.get(site) ?? null, emit });
  openRecordKey(options.dataDir);
  const exporter = createExporter(store, place);
  const closer = new ShiftCloser({ store, exporter, clock, log, version: options.version, dataDir: options.dataDir });
  const listeners = new Set<() => void>();
  const late: { notify: Notify | null } = { notify: null };
  const { all: writers, shared, start } = await openSites({
    configs: options.sites, store, clock, log, dataDir: options.dataDir,
    onRead: (site) => hub.noteGateway(site),
    onCommitted: (from, effects) => {
      hub.publish(from, effects);
      closer.note(from, effects);
      for (const listener of listeners) listener();
    },
    onOurs: async (site) => {
      late.notify?.configure(site.siteId);
      await closer.add(site);
    },
  });
  for (const writer of writers.values()) hub.add(writer);
  if (!shared) await start();
  const notify = (late.notify = startNotify({ accounts, writers, underLease: (site, act) => store.underLease(site, act), dataDir: options.dataDir, clock, log }));
  if (shared) await start();
  listeners.add(() => notify.wake());
  const deliver = (batch: UplinkBatch): Promise<UplinkAck> => {
    const writer = writers.get(batch.site);
    if (!writer) return Promise.reject(new UserError(`this server has no site ${batch.site}`));
    hub.noteGateway(batch.site);
    return writer.take(batch);
  };
  const gateways = new GatewayReports({ clock, here: options.gateway.report ?? (() => null) });
  const watchingGateways = watchGateways({ gateways, writers, clock, log });
  const context: ApiContext = {
    deliver,
    gateways,
    heard: async (site) => gateways.of(site) ?? (writers.get(site)?.isOurs === false ? ((await shared?.ask(site, { kind: 'heard' }).catch(() => null)) as HeardReport | null) : null),
    noteReport: async (site, report) => {
      gateways.take(site, report);
      if (writers.get(site)?.isOurs === false) await shared?.ask(site, { kind: 'report', report });
    },
    accounts,
    notify,
    signIn: new SignIn(accounts),
    firstAdministrator,
    openId: openIdOf(options.sites, accounts, clock),
    clock,
    store: storeWithinReach(store, writers),
    hub: { sites: () => hub.sites().filter(({ id }) => maySeeSite(id)) },
    writers: withinReach(writers),
    isRecording: () => [...writers.values()].every((writer) => writer.isRecording),
    sitesConfigured: () => [...writers.values()].filter((writer) => writer.state.config).length,
    ...options.gateway,
    drills: options.drills ?? null,
    pagesConnected: () => push?.connected() ?? 0,
    isDemo: options.demo,
    cookies: cookieNames(options.demo),
    demonstration: options.demonstration ?? null,
    version: options.version,
    dataDir: options.dataDir,
    settings: new Settings({ house: options.settings ?? NO_FILES, writers, accounts, store, onChanged: (site) => notify.configure(site), clock, log }),
    exporter,
    closer,
  };
  const { app, routes } = await createApi(context, { log, dashboardDir: options.dashboardDir, tls: options.tls ?? null, trustProxy: options.trustProxy ?? null, ...(options.requestsPerMinute === undefined ? {} : { requestsPerMinute: options.requestsPerMinute }) });
  push = createPushServer(app.server, accounts, context.cookies, hub);
  if (shared && store.leases) peerRoute(app, { secret: store.leases.secret, sites: writers, gateways, onTaken: (site) => hub.noteGateway(site), onConfigured: (site) => notify.configure(site) });
  // Fastify's close waits for ever on open WebSockets, so they go first; `io.close` lets the pages come back by themselves.
  app.addHook('preClose', () => push?.stop());
  const watch = watchWallClock(clock, writers, log);
  const seconds = [...writers.values()].map((writer) => findLater({ writer, store, clock, log }));
  const stopPacking = keepPacking(store, () => [...writers.values()].flatMap(({ siteId, isOurs }) => (isOurs ? [siteId] : [])), log, async (site) => {
    const writer = writers.get(site);
    if (writer) await eraseDue(store, writer, clock);
    await store.tidy(clock.nowMs());
  });
  try {
    await app.listen({ host: options.host, port: options.port });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EADDRINUSE') throw error;
    throw new UserError(`port ${options.port} is already taken: stop the program that holds it, or choose another with --port`);
  }
  const address = app.server.address();
  const port = typeof address === 'object' && address ? address.port : options.port;
  const stop = async (): Promise<void> => {
    clearInterval(watch);
    clearInterval(watchingGateways);
    hub.stop();
    await stopPacking();
    await app.close();
    await notify.stop();
    for (const second of seconds) await second.stop();
    await closer.stop();
    await exporter.stop();
    if (shared) await shared.stop();
    else for (const writer of writers.values()) await writer.stop();
    await store.close();
  };
  let stopped: Promise<void> | null = null;
  const url = `http${options.tls ? 's' : ''}://${options.host.includes(':') ? `[${options.host}]` : options.host}:${port}`;
  await shared?.listen(options.advertise ?? url, options.tls ? new X509Certificate(options.tls.cert).toString() : null);
  return {
    url,
    accounts,
    firstAdministratorCode: firstAdministrator.code,
    routes,
    deliver,
    writer: (site) => writers.get(site),
    noteReplay: (site, record) =>
      (noting = noting.then(async () => {
        await store.replays.note(site, record, clock.nowMs());
        replaying.set(site, record);
        hub.tellSites(site);
      })),
    onCommit: (listener) => void listeners.add(listener),
    pagesConnected: () => push?.connected() ?? 0,
    untold: (site) => notify.untold(site),
    stop: () => (stopped ??= stop()),
  };
}

/** The first site that names a provider names it for the server. */
function openIdOf(sites: readonly SiteConfig[], accounts: Accounts, clock: Clock): OpenId | null {
  const site = sites.find((one) => one.openId);
  return site?.openId ? new OpenId({ config: site.openId, page: site.page ?? '', accounts, clock }) : null;
}

/** A wall clock that is set while we run moves nothing here, but the journal tells of it. */
function watchWallClock(clock: Clock, writers: ReadonlyMap<string, Site>, log: Log): NodeJS.Timeout {
  let knownMs = 0;
  const timer = setInterval(() => {
    const jumpMs = Math.round((clock.wallDriftMs() ?? 0) - knownMs);
    if (Math.abs(jumpMs) < CLOCK_JUMP_MS) return;
    knownMs += jumpMs;
    for (const writer of writers.values()) writer.noteClockJump(jumpMs).catch((error: unknown) => log.error({ err: error }, 'a clock jump could not be recorded'));
  }, CLOCK_CHECK_MS);
  timer.unref();
  return timer;
}
