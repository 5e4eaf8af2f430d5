import { Command } from 'commander';
import { wallClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { readSiteConfig } from '../../host/read-site-config.ts';
import { UserError } from '../../host/user-error.ts';
import { configFlag, dataFlag, hostFlag, jsonFlag, logFlag, mqttPortFlag, portFlag, tlsCertFlag, tlsKeyFlag, trustProxyFlag } from '../flags.ts';
import { startHouse } from '../house.ts';
import { readTls } from '../read-tls.ts';
import { stopWithin, untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly config?: string;
  readonly data: string;
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
    .addOption(hostFlag())
    .addOption(portFlag())
    .addOption(mqttPortFlag())
    .addOption(tlsCertFlag())
    .addOption(tlsKeyFlag())
    .addOption(trustProxyFlag())
    .addOption(jsonFlag())
    .addOption(logFlag('info'))
    .addHelpText('after', '\nExample:\n  potside user add dana --role supervisor --password-stdin < password.txt\n  potside serve --config site.yaml\n')
    .action(async (flags: Flags) => {
      if (flags.config === undefined) throw new UserError('no configuration: give one with --config site.yaml (docs/configuration.md shows how it looks), or see it work first with `potside demo`');
      const house = await startHouse({
        config: readSiteConfig(flags.config),
        dataDir: flags.data,
        host: flags.host,
        port: flags.port,
        mqttPort: flags.mqttPort,
        tls: readTls(flags),
        trustProxy: flags.trustProxy ?? null,
        makeClock: wallClock,
        log: createLog(flags.log),
        demo: false,
      });
      const code = house.server.firstAdministratorCode;
      const ready = { url: house.server.url, mqtt: house.gateway.mqttUrl, ...(code === null ? {} : { firstAdministratorCode: code }) };
      if (flags.json) process.stdout.write(`${JSON.stringify(ready)}\n`);
      else {
        process.stdout.write(`Potside watches at ${ready.url}, sensors publish to ${ready.mqtt}. Ctrl-C ends it.\n`);
        if (code !== null) process.stdout.write(`Nobody can sign in yet. Open the page and make the first administrator with this one-time code: ${code}\n`);
      }
      await untilStopped();
      await stopWithin(() => house.stop());
    });
}
