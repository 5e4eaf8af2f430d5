import { Command, Option } from 'commander';
import { startGateway } from '../../gateway/gateway.ts';
import { httpTarget } from '../../gateway/uplink/http-target.ts';
import { wallClock } from '../../host/clock.ts';
import { lockDataDir } from '../../host/lock-data-dir.ts';
import { createLog } from '../../host/log.ts';
import { readSiteConfig } from '../../host/read-site-config.ts';
import { UserError } from '../../host/user-error.ts';
import { configFlag, gatewayDataFlag, jsonFlag, logFlag, mqttPortFlag, toWhole } from '../flags.ts';
import { dryRun } from './dry-run.ts';
import { stopWithin, untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly config?: string;
  readonly data: string;
  readonly mqttPort: number;
  readonly json?: true;
  readonly log: string;
  readonly dryRun?: true;
  readonly for: number;
}

/** `potside gateway`: takes a site's sensors in and hands the readings to servers elsewhere. */
export function gatewayCommand(): Command {
  return new Command('gateway')
    .description('take a site’s sensors in and hand the readings to the servers named under uplinks')
    .addOption(configFlag())
    .addOption(gatewayDataFlag())
    .addOption(mqttPortFlag())
    .option('--dry-run', 'store nothing: listen, and print what the configuration makes of what is heard')
    .addOption(new Option('--for <seconds>', 'how long a dry run listens').default(30).argParser(toWhole))
    .addOption(jsonFlag())
    .addOption(logFlag('info'))
    .addHelpText('after', '\nExample, at the server and then at the site:\n  potside token add quay-4 --role gateway > quay-4.token\n  potside gateway --config site.yaml\nWhile setting up, to see what arrives and what becomes of it:\n  potside gateway --config site.yaml --dry-run\n')
    .action(async (flags: Flags) => {
      if (flags.config === undefined) throw new UserError('no configuration: give one with --config site.yaml (docs/configuration.md shows how it looks)');
      const config = readSiteConfig(flags.config);
      if (flags.dryRun) return dryRun(config, { ...flags, seconds: flags.for, json: flags.json ?? false });
      if (config.uplinks.length === 0) throw new UserError(`${flags.config}: uplinks: expected at least one server to hand the readings to (docs/configuration.md); \`potside serve\` is gateway and server in one`);
      const uplinks = config.uplinks.map(httpTarget);
      const unlock = lockDataDir(flags.data);
      try {
        const gateway = await startGateway({ config, dataDir: flags.data, mqttPort: flags.mqttPort, makeClock: wallClock, log: createLog(flags.log), uplinks });
        const servers = config.uplinks.map(({ url }) => url);
        process.stdout.write(flags.json ? `${JSON.stringify({ mqtt: gateway.mqttUrl, uplinks: servers })}\n` : `Sensors publish to ${gateway.mqttUrl}; readings go to ${servers.join(', ')}. Ctrl-C ends it.\n`);
        await untilStopped();
        await stopWithin(() => gateway.stop());
      } finally {
        unlock();
      }
    });
}
