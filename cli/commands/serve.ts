import { join } from 'node:path';
import { Command } from 'commander';
import { wallClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { readSiteConfig } from '../../host/read-site-config.ts';
import { SiteFile } from '../../host/site-file.ts';
import type { PotsideServer } from '../../server/server.ts';
import { startFirstRun } from '../first-run.ts';
import { configFlag, databaseFlag, dataFlag, hostFlag, jsonFlag, logFlag, mqttPortFlag, portFlag, tlsCertFlag, tlsKeyFlag, trustProxyFlag } from '../flags.ts';
import { startHouse } from '../house.ts';
import { readTls } from '../read-tls.ts';
import { stopWithin, untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly config?: string;
  readonly data: string;
  readonly database?: string;
  readonly host: string;
  readonly port: number;
  readonly mqttPort: number;
  readonly tlsCert?: string;
  readonly tlsKey?: string;
  readonly trustProxy?: readonly string[];
  readonly json?: true;
  readonly log: string;
}

/** `potside serve`: a site for real. */
export function serveCommand(): Command {
  return new Command('serve')
    .description('watch a site: gateway and server in one process')
    .addOption(configFlag())
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .addOption(hostFlag())
    .addOption(portFlag())
    .addOption(mqttPortFlag())
    .addOption(tlsCertFlag())
    .addOption(tlsKeyFlag())
    .addOption(trustProxyFlag())
    .addOption(jsonFlag())
    .addOption(logFlag('info'))
    .addHelpText('after', '\nWithout --config the site is site.yaml in the data directory; where there is none, the page leads through setting one up.\n\nExample:\n  potside serve\n  potside serve --config site.yaml\n')
    .action(run);
}

/** Gateway and server, or the first run while there is no site. */
interface Part {
  readonly server: PotsideServer;
  readonly mqttUrl: string | null;
  stop(): Promise<void>;
}

/** Started anew within the process, on the same ports, when a change of the settings asks for it. */
async function run(flags: Flags): Promise<void> {
  const log = createLog(flags.log);
  const file = new SiteFile(flags.config ?? join(flags.data, 'site.yaml'), flags.data);
  const stopped = untilStopped().then(() => 'stop' as const);
  let [port, mqttPort] = [flags.port, flags.mqttPort];
  const common = { dataDir: flags.data, database: flags.database ?? null, host: flags.host, tls: readTls(flags), trustProxy: flags.trustProxy ?? null, log };
  const start = async (onRestart: () => void): Promise<Part> => {
    if (flags.config === undefined && !file.exists()) {
      const part = await startFirstRun({ ...common, port, file, onSite: onRestart });
      return { ...part, mqttUrl: null };
    }
    const house = await startHouse({ ...common, config: readSiteConfig(file.path), port, mqttPort, makeClock: wallClock, demo: false, settings: { file, restart: onRestart } });
    return { server: house.server, mqttUrl: house.gateway.mqttUrl, stop: () => house.stop() };
  };
  let works: string | null = null;
  for (;;) {
    let restart: () => void = () => undefined;
    const restarting = new Promise<'restart'>((resolve) => (restart = () => resolve('restart')));
    const part: Part = await start(restart).catch(async (error: unknown) => {
      if (works === null || !file.exists()) throw error;
      log.error({ err: error }, 'the changed configuration can’t be started with: the one before it is put back');
      file.write(works, file.read().version, Date.now());
      return start(restart);
    });
    greet(part, flags);
    works = file.exists() ? file.read().text : null;
    port = Number(new URL(part.server.url).port) || port;
    mqttPort = embeddedPort(part.mqttUrl) ?? mqttPort;
    if ((await Promise.race([stopped, restarting])) === 'stop') return stopWithin(() => part.stop());
    await part.stop();
  }
}

/** The port that was taken where any would do. */
function embeddedPort(mqttUrl: string | null): number | null {
  const url = mqttUrl === null ? null : new URL(mqttUrl);
  return url?.protocol === 'mqtt:' && url.hostname === '127.0.0.1' ? Number(url.port) : null;
}

function greet({ server, mqttUrl }: Part, flags: Flags): void {
  const { url, firstAdministratorCode: code } = server;
  if (flags.json) return void process.stdout.write(`${JSON.stringify({ url, mqtt: mqttUrl, ...(code === null ? {} : { firstAdministratorCode: code }) })}\n`);
  process.stdout.write(mqttUrl === null ? `Potside has no site yet: open ${url} to set the first one up. Ctrl-C ends it.\n` : `Potside watches at ${url}, sensors publish to ${mqttUrl}. Ctrl-C ends it.\n`);
  if (code !== null) process.stdout.write(`Nobody can sign in yet. Open the page and make the first administrator with this one-time code: ${code}\n`);
}
