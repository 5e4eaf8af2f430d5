import { join } from 'node:path';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import { type Gateway, startGateway } from '../gateway/gateway.ts';
import { httpTarget } from '../gateway/uplink/http-target.ts';
import type { Clock } from '../host/clock.ts';
import type { Log } from '../host/log.ts';
import { lockDataDir } from '../host/lock-data-dir.ts';
import type { SiteFile } from '../host/site-file.ts';
import { packageRoot, packageVersion } from '../host/package-root.ts';
import { type Beacon, startBeacon } from '../server/alarms/beacon.ts';
import { watchPaths } from '../server/alarms/watch-paths.ts';
import { type PotsideServer, type ServerOptions, startServer } from '../server/server.ts';
import { createDrillRunner } from './drills/run-drills.ts';

/** Gateway and server in one process, joined by the outbox as they would be over a network. */
export interface House {
  readonly server: PotsideServer;
  readonly gateway: Gateway;
  stop(): Promise<void>;
}

export interface HouseOptions {
  readonly config: SiteConfig;
  readonly dataDir: string;
  readonly database?: string | null;
  readonly host: string;
  readonly port: number;
  readonly mqttPort: number;
  /** Makes the one clock of the process, given the newest time already recorded. */
  readonly makeClock: (notBeforeMs: number) => Clock;
  readonly log: Log;
  readonly demo: boolean;
  /** The file that the configuration is from, and how to start the house anew with it, null where it must be started by hand; absent where there is no file. */
  readonly settings?: { readonly file: SiteFile; readonly restart: (() => void) | null };
  readonly tls?: ServerOptions['tls'];
  readonly trustProxy?: ServerOptions['trustProxy'];
}

export async function startHouse(options: HouseOptions): Promise<House> {
  const { config, dataDir, log } = options;
  const unlock = lockDataDir(dataDir);
  const held: { clock: Clock | null; gateway: Gateway | null; server: PotsideServer | null; alarms: { stop(): Promise<void> } | null } = { clock: null, gateway: null, server: null, alarms: null };
  const clockNow = (): Clock => {
    if (!held.clock) throw new Error('the server made no clock');
    return held.clock;
  };
  const drills = createDrillRunner({ mqttUrl: () => held.gateway?.mqttUrl ?? '', broker: config.mqtt, clock: clockNow, log });
  const stop = async (): Promise<void> => {
    await drills.stop(config.site.id);
    await held.alarms?.stop();
    await held.gateway?.stop();
    await held.server?.stop();
    unlock();
  };
  try {
    const server = await startServer({
      sites: [config],
      dataDir,
      database: options.database ?? null,
      host: options.host,
      port: options.port,
      log,
      demo: options.demo,
      tls: options.tls ?? null,
      trustProxy: options.trustProxy ?? null,
      version: packageVersion(),
      dashboardDir: join(packageRoot(), 'dist', 'dashboard'),
      makeClock: (notBeforeMs) => (held.clock = options.makeClock(notBeforeMs)),
      gateway: {
        refusals: () => held.gateway && { latest: held.gateway.refusals.latest(), counts: held.gateway.refusals.counts() },
        gatewayStatus: () => held.gateway?.status() ?? null,
        lookAround: (site) => (site === config.site.id ? held.gateway?.lookAround() : undefined),
        report: (site) => (site === config.site.id ? (held.gateway?.report() ?? null) : null),
      },
      drills,
      ...(options.settings ? { settings: { files: new Map([[config.site.id, options.settings.file]]), first: null, onChanged: (next) => held.gateway?.configure(next), restart: options.settings.restart } } : {}),
    });
    held.server = server;
    const clock = clockNow();
    await endLostDrill(server, config.site.id);
    const uplinks = [{ name: 'here', deliver: server.deliver }, ...config.uplinks.map(httpTarget)];
    const gateway = await startGateway({ config, dataDir, mqttPort: options.mqttPort, makeClock: () => clock, log, uplinks, onReplay: (record) => void server.noteReplay(config.site.id, record).catch((error: unknown) => log.error({ err: error }, 'a replay could not be noted')) });
    held.gateway = gateway;
    held.alarms = startAlarmPaths(config, server, { url: gateway.mqttUrl, login: gateway.login }, clock, log);
    return { server, gateway, stop };
  } catch (error) {
    await stop();
    throw error;
  }
}

/** A drill ends with the program that played it: it does not go on by itself after a restart. */
async function endLostDrill(server: PotsideServer, site: string): Promise<void> {
  const writer = server.writer(site);
  const drill = writer?.state.siteSituation.drill;
  if (drill && writer.isOurs) await writer?.act({ kind: 'end-drill', because: 'Potside was restarted', key: `lost-drill-${drill.startedAtMs}`, by: 'Potside', role: 'server', from: 'house' });
}

/** The beacon, where there is a broker for it, and the watch over the ways on which alarms reach people. */
export function startAlarmPaths(config: SiteConfig, server: PotsideServer, broker: { readonly url: string; readonly login: Gateway['login'] } | null, clock: Clock, log: Log): { stop(): Promise<void> } {
  const writer = server.writer(config.site.id);
  if (!writer) throw new Error(`the server has no site ${config.site.id}`);
  let beacon: Beacon | null = null;
  // Where several servers share the sites, who has one tells its beacon.
  const lightIfOurs = (): void => {
    if (broker !== null && writer.isOurs) beacon ??= startBeacon({ ...broker, broker: config.mqtt, writer, clock, log });
    else if (beacon) {
      void beacon.stop({ isOthers: true });
      beacon = null;
    }
  };
  lightIfOurs();
  server.onCommit(() => {
    lightIfOurs();
    beacon?.update();
  });
  const watch = watchPaths({ writer, clock, log, isBeaconConnected: () => beacon?.isConnected() ?? null, pagesConnected: () => server.pagesConnected(), untold: () => server.untold(config.site.id) });
  return {
    stop: async () => {
      watch.stop();
      await beacon?.stop();
    },
  };
}
