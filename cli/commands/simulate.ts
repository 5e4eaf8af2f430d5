import { Command } from 'commander';
import { wallClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { publishSimulation } from '../../simulator/publish/publish-simulation.ts';
import { createSimulation, SCENARIOS } from '../../simulator/simulation.ts';
import { logFlag, mqttPortFlag, rigsFlag, scenarioFlag, seedFlag, speedFlag } from '../flags.ts';
import { untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly mqttPort: number;
  readonly mqtt?: string;
  readonly log: string;
  readonly scenario: string;
  readonly seed: number;
  readonly speed: number;
  readonly rigs: number;
  readonly list?: true;
  readonly printSite?: true;
}

/** `potside simulate`: a site's sensors, published as real ones would. */
export function simulateCommand(): Command {
  return new Command('simulate')
    .description('publish a simulated site over MQTT, as its sensors would')
    .addOption(scenarioFlag('quiet'))
    .addOption(seedFlag())
    .addOption(speedFlag())
    .addOption(rigsFlag())
    .addOption(mqttPortFlag())
    .option('--mqtt <url>', 'a broker elsewhere, e.g. mqtt://192.0.2.7')
    .option('--list', 'name the scenarios and end')
    .option('--print-site', 'print the site.yaml that fits this simulation and end')
    .addOption(logFlag('warn'))
    .addHelpText('after', '\nExample:\n  potside simulate --scenario kinked-hose --print-site > site.yaml\n  potside serve --config site.yaml &\n  potside simulate --scenario kinked-hose\n')
    .action(async (flags: Flags) => {
      if (flags.list) {
        for (const { name, summary } of SCENARIOS) process.stdout.write(`${name.padEnd(24)} ${summary}\n`);
        return;
      }
      const clock = wallClock();
      const simulation = createSimulation({ scenario: flags.scenario, seed: flags.seed, rigs: flags.rigs, startAtMs: clock.nowMs(), liveFromMs: clock.nowMs() });
      if (flags.printSite) {
        process.stdout.write(simulation.siteYaml);
        return;
      }
      const log = createLog(flags.log);
      const stopping = new AbortController();
      void untilStopped().then(() => stopping.abort());
      const mqttUrl = flags.mqtt ?? `mqtt://127.0.0.1:${flags.mqttPort}`;
      process.stdout.write(`Publishing ${simulation.siteId} to ${mqttUrl}. Ctrl-C ends it.\n`);
      await publishSimulation({ simulation, mqttUrl, nowMs: () => clock.nowMs(), speed: flags.speed, signal: stopping.signal, onError: (error) => log.warn({ reason: error.message }, 'MQTT connection in trouble') });
    });
}
