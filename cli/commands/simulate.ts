import { closeSync, openSync, readFileSync, writeSync } from 'node:fs';
import { Command, InvalidArgumentError, Option } from 'commander';
import { parseQuantity } from '../../domain/quantity/parse-quantity.ts';
import { wallClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { UserError } from '../../host/user-error.ts';
import type { DeviceForm } from '../../simulator/devices/device.ts';
import { DEVICE_FORMS } from '../../simulator/devices/payload-form.ts';
import { publishSimulation } from '../../simulator/publish/publish-simulation.ts';
import { createSimulation, SCENARIOS, type Simulation } from '../../simulator/simulation.ts';
import { recordTruth } from '../../simulator/truth/record-truth.ts';
import { logFlag, mqttPortFlag, rigsFlag, scenarioFlag, seedFlag, speedFlag } from '../flags.ts';
import { untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly mqttPort: number;
  readonly mqtt?: string;
  readonly ca?: string;
  readonly username?: string;
  readonly passwordFile?: string;
  readonly log: string;
  readonly scenario: string;
  readonly seed: number;
  readonly speed: number;
  readonly rigs: number;
  readonly sites: number;
  readonly payload: DeviceForm;
  readonly truth?: string;
  readonly start?: number;
  readonly for?: number;
  readonly publish: boolean;
  readonly list?: true;
  readonly printSite?: true;
}

const MOST_SITES = 200;
/** Without a broker to wait for, so much is simulated at a time, ms. */
const STRETCH_MS = 60_000;

/** `potside simulate`: a site's sensors, published as real ones would. */
export function simulateCommand(): Command {
  return new Command('simulate')
    .description('publish a simulated site over MQTT, as its sensors would')
    .addOption(scenarioFlag('quiet'))
    .addOption(seedFlag())
    .addOption(speedFlag())
    .addOption(rigsFlag())
    .addOption(mqttPortFlag())
    .option('--mqtt <url>', 'a broker elsewhere, e.g. mqtt://192.0.2.7, or mqtts://… for TLS')
    .option('--ca <file>', 'PEM file with the authority to trust, for mqtts')
    .option('--username <name>', 'what the devices sign in with')
    .option('--password-file <file>', 'file with their password')
    .addOption(new Option('--payload <form>', 'how every device writes its messages; loop is JSON with 4-20 mA currents').choices([...DEVICE_FORMS]).default('json'))
    .addOption(new Option('--sites <n>', `so many sites like it in this process, for load; at most ${MOST_SITES}`).default(1).argParser(toSites))
    .option('--truth <file>', 'write what really happens, second by second, as JSON Lines')
    .addOption(new Option('--start <time>', 'when the simulated time begins, RFC 3339; now unless told otherwise').argParser(toInstant))
    .addOption(new Option('--for <duration>', 'end after so much simulated time, e.g. 10min').argParser(toDuration))
    .option('--no-publish', 'publish nothing and run as fast as possible: for --truth; needs --for')
    .option('--list', 'name the scenarios and end')
    .option('--print-site', 'print the site.yaml that fits this simulation and end; several sites are told apart by ---')
    .addOption(logFlag('warn'))
    .addHelpText('after', '\nExamples:\n  potside simulate --scenario kinked-hose --print-site > site.yaml\n  potside serve --config site.yaml &\n  potside simulate --scenario kinked-hose\n\n  potside simulate --scenario co-wind --start 2026-09-14T12:00:00Z --for 30min --no-publish --truth truth.jsonl\n')
    .action(run);
}

async function run(flags: Flags): Promise<void> {
  if (flags.list) {
    for (const { name, summary } of SCENARIOS) process.stdout.write(`${name.padEnd(24)} ${summary}\n`);
    return;
  }
  const clock = wallClock();
  const startAtMs = flags.start ?? clock.nowMs();
  const sites = Array.from({ length: flags.sites }, (_, i) => createSite(flags, startAtMs, i));
  if (flags.printSite) {
    process.stdout.write(sites.map(({ siteYaml }) => siteYaml).join('---\n'));
    return;
  }
  if (flags.truth !== undefined && flags.sites > 1) throw new UserError('--truth: the truth is of one site; found --sites above 1');
  const untilMs = flags.for === undefined ? null : startAtMs + flags.for;
  const truth = flags.truth === undefined ? null : openSync(flags.truth, 'w');
  const simulations = truth === null ? sites : sites.map((site) => recordTruth(site, { ...flags, startAtMs, liveFromMs: startAtMs }, (line) => writeSync(truth, line)));
  try {
    if (flags.publish) await publishSites(simulations, flags, { startAtMs, untilMs, nowMs: () => clock.nowMs() });
    else if (untilMs === null) throw new UserError('--no-publish: runs as fast as it can and needs --for to know when to end');
    else for (const simulation of simulations) for (let atMs = startAtMs; atMs < untilMs; ) simulation.advanceTo((atMs = Math.min(untilMs, atMs + STRETCH_MS)));
  } finally {
    if (truth !== null) closeSync(truth);
  }
}

/** The site alone under the scenario's own name; of many each has a number and a seed of its own. */
function createSite({ scenario, seed, rigs, payload, sites }: Flags, startAtMs: number, index: number): Simulation {
  const options = { scenario, rigs, startAtMs, liveFromMs: startAtMs, form: payload };
  if (sites === 1) return createSimulation({ ...options, seed });
  return createSimulation({ ...options, seed: seed + index, siteId: `load-${String(index + 1).padStart(3, '0')}` });
}

async function publishSites(simulations: readonly Simulation[], flags: Flags, time: { startAtMs: number; untilMs: number | null; nowMs: () => number }): Promise<void> {
  const log = createLog(flags.log);
  const stopping = new AbortController();
  void untilStopped().then(() => stopping.abort());
  const mqttUrl = flags.mqtt ?? `mqtt://127.0.0.1:${flags.mqttPort}`;
  const what = simulations.length === 1 ? simulations[0]?.siteId : `${simulations.length} sites`;
  process.stdout.write(`Publishing ${what} to ${mqttUrl}. Ctrl-C ends it.\n`);
  const login = {
    mqttUrl,
    ...(flags.username === undefined ? {} : { username: flags.username }),
    ...(flags.passwordFile === undefined ? {} : { password: readFileSync(flags.passwordFile, 'utf8').trim() }),
    ...(flags.ca === undefined ? {} : { ca: readFileSync(flags.ca) }),
  };
  const onError = (error: Error): void => log.warn({ reason: error.message }, 'MQTT connection in trouble');
  await Promise.all(simulations.map((simulation) => publishSimulation({ ...login, simulation, originMs: time.startAtMs, nowMs: time.nowMs, speed: flags.speed, signal: stopping.signal, onError, ...(time.untilMs === null ? {} : { untilMs: time.untilMs }) })));
}

function toSites(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1 || value > MOST_SITES) throw new InvalidArgumentError(`expected 1 to ${MOST_SITES}`);
  return value;
}

function toInstant(text: string): number {
  const ms = /^\d{4}-\d\d-\d\dT.+(Z|[+-]\d\d:\d\d)$/.test(text) ? Date.parse(text) : Number.NaN;
  if (Number.isNaN(ms)) throw new InvalidArgumentError('expected RFC 3339 with its offset, e.g. 2026-09-14T07:00:00-05:00');
  return ms;
}

function toDuration(text: string): number {
  try {
    const { si } = parseQuantity(text, 'time');
    if (si > 0) return si * 1000;
  } catch {
    // Told below.
  }
  throw new InvalidArgumentError('expected a duration above 0, e.g. 10min');
}
