import { join } from 'node:path';
import { Command } from 'commander';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import { type Clock, wallClock } from '../../host/clock.ts';
import { lockDataDir } from '../../host/lock-data-dir.ts';
import { createLog } from '../../host/log.ts';
import { packageRoot, packageVersion } from '../../host/package-root.ts';
import { readSiteConfig } from '../../host/read-site-config.ts';
import { SiteFile } from '../../host/site-file.ts';
import { UserError } from '../../host/user-error.ts';
import { startServer } from '../../server/server.ts';
import { advertiseFlag, configsFlag, databaseFlag, dataFlag, hostFlag, jsonFlag, logFlag, portFlag, tlsCertFlag, tlsKeyFlag, trustProxyFlag } from '../flags.ts';
import { readTls } from '../read-tls.ts';
import { startAlarmPaths } from '../house.ts';
import { stopWithin, untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly config?: readonly string[];
  readonly data: string;
  readonly database?: string;
  readonly advertise?: string;
  readonly host: string;
  readonly port: number;
  readonly tlsCert?: string;
  readonly tlsKey?: string;
  readonly trustProxy?: readonly string[];
  readonly json?: true;
  readonly log: string;
}

/** `potside server`: record, alarms and dashboard of sites whose gateways are elsewhere. */
export function serverCommand(): Command {
  return new Command('server')
    .description('record, alarms and dashboard of one or more sites whose gateways are elsewhere')
    .addOption(configsFlag())
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .addOption(advertiseFlag())
    .addOption(hostFlag())
    .addOption(portFlag())
    .addOption(tlsCertFlag())
    .addOption(tlsKeyFlag())
    .addOption(trustProxyFlag())
    .addOption(jsonFlag())
    .addOption(logFlag('info'))
    .addHelpText('after', '\nExample:\n  potside token add quay-4 --role gateway > quay-4.token\n  potside server --config quay-4.yaml --host 0.0.0.0 --port 8443 --tls-cert server.pem --tls-key server.key\n')
    .action(run);
}

async function run(flags: Flags): Promise<void> {
  if (flags.config === undefined) throw new UserError('no configuration: give one with --config site.yaml, one for each site (docs/configuration.md shows how it looks)');
  const files = flags.config;
  const sites = files.map(readSiteConfig);
  const tls = readTls(flags);
  const log = createLog(flags.log);
  const unlock = lockDataDir(flags.data);
  try {
    const held: { clock: Clock | null } = { clock: null };
    const server = await startServer({
      sites,
      dataDir: flags.data,
      advertise: flags.advertise ?? null,
      host: flags.host,
      port: flags.port,
      database: flags.database ?? null,
      tls,
      trustProxy: flags.trustProxy ?? null,
      makeClock: (notBeforeMs) => (held.clock = wallClock(notBeforeMs)),
      log,
      demo: false,
      version: packageVersion(),
      dashboardDir: join(packageRoot(), 'dist', 'dashboard'),
      gateway: { refusals: () => null, gatewayStatus: () => null },
      settings: { files: new Map(sites.map(({ site }, index) => [site.id, new SiteFile(files[index] ?? '', flags.data)])), first: null, onChanged: () => undefined, restart: null },
    });
    const paths = sites.map((config) => startAlarmPaths(config, server, config.mqtt && { url: config.mqtt.url, login: null }, held.clock ?? wallClock(), log));
    process.stdout.write(flags.json ? `${JSON.stringify({ url: server.url })}\n` : `${greeting(server.url, sites)}\n`);
    await untilStopped();
    await stopWithin(async () => {
      await Promise.all(paths.map((path) => path.stop()));
      await server.stop();
    });
  } finally {
    unlock();
  }
}

function greeting(url: string, sites: readonly SiteConfig[]): string {
  return `Potside watches ${sites.map(({ site }) => site.id).join(', ')} at ${url}; gateways deliver there. Ctrl-C ends it.`;
}
