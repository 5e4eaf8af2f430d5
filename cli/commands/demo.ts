import { randomInt } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Command, Option } from 'commander';
import { SettableClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { SiteFile } from '../../host/site-file.ts';
import type { Accounts } from '../../server/access/accounts.ts';
import { catchUp } from '../../simulator/publish/catch-up.ts';
import { publishSimulation } from '../../simulator/publish/publish-simulation.ts';
import { createSimulation } from '../../simulator/simulation.ts';
import { jsonFlag, logFlag, mqttPortFlag, portFlag, rigsFlag, scenarioFlag, seedFlag, speedFlag } from '../flags.ts';
import { type House, startHouse } from '../house.ts';
import { stopWithin, untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly data?: string;
  readonly port: number;
  readonly mqttPort: number;
  readonly json?: true;
  readonly log: string;
  readonly scenario: string;
  readonly seed: number;
  readonly speed: number;
  readonly rigs: number;
  readonly endsWithInput?: true;
}

/** The morning that is already there when the page opens. */
const HISTORY_MS = 2 * 3_600_000;
/** About how long the morning takes to come in: what the scenario times from the opening of the page counts from here. */
const CATCH_UP_MS = 10_000;

const PEOPLE = [
  { name: 'supervisor', role: 'supervisor' },
  { name: 'safety', role: 'safety-officer' },
  { name: 'manager', role: 'manager' },
  { name: 'tender', role: 'tender' },
] as const;

/** `potside demo`: everything at once on a simulated site, on loopback, gone again at the end. */
export function demoCommand(): Command {
  return new Command('demo')
    .description('see it work: a simulated site with two hours of history and something about to happen')
    .addOption(new Option('--data <dir>', 'keep the record here instead of throwing it away at the end'))
    .addOption(portFlag())
    .addOption(mqttPortFlag())
    .addOption(jsonFlag())
    .addOption(logFlag('error'))
    .addOption(scenarioFlag('demo'))
    .addOption(seedFlag())
    .addOption(speedFlag())
    .addOption(rigsFlag())
    // For whoever starts it as a part of theirs: it does not outlive them.
    .addOption(new Option('--ends-with-input', 'end when the standard input does').hideHelp())
    .action(run);
}

async function run(flags: Flags): Promise<void> {
  const startAtMs = Math.floor(Date.now() / 1000) * 1000 - HISTORY_MS;
  const simulation = createSimulation({ scenario: flags.scenario, seed: flags.seed, rigs: flags.rigs, startAtMs, liveFromMs: Date.now() + CATCH_UP_MS });
  const dataDir = flags.data ?? mkdtempSync(join(tmpdir(), 'potside-demo-'));
  const stopping = new AbortController();
  let clock = new SettableClock(startAtMs);
  const tidyUp = (): void => {
    if (flags.data === undefined) rmSync(dataDir, { recursive: true, force: true });
  };
  const file = new SiteFile(join(dataDir, 'demo-site.yaml'), dataDir);
  mkdirSync(dataDir, { recursive: true });
  writeFileSync(file.path, simulation.siteYaml);
  const house = await startHouse({
    config: parseSiteYaml(simulation.siteYaml, 'demo site.yaml'),
    settings: { file, restart: null },
    dataDir,
    host: '127.0.0.1',
    port: flags.port,
    mqttPort: flags.mqttPort,
    makeClock: (notBeforeMs) => (clock = new SettableClock(Math.max(startAtMs, notBeforeMs))),
    log: createLog(flags.log),
    demo: true,
  }).catch((error: unknown) => {
    tidyUp();
    throw error;
  });
  const stopped = Promise.race([untilStopped(), ...(flags.endsWithInput ? [inputEnds()] : [])]).then(() => stopping.abort());
  const users = await addPeople(house.server.accounts);
  await startShifts(house, simulation.siteId);
  if (!flags.json) process.stdout.write('Playing two hours of a morning into the record...\n');
  const publishing = play(house, simulation, clock, flags.speed, stopping.signal, () => {
    const ready = { url: house.server.url, mqtt: house.gateway.mqttUrl, users };
    process.stdout.write(flags.json ? `${JSON.stringify(ready)}\n` : greeting(ready));
  });
  await Promise.race([stopped, publishing]);
  stopping.abort();
  await stopWithin(async () => {
    await publishing;
    await house.stop();
    tidyUp();
  });
}

function inputEnds(): Promise<void> {
  return new Promise((resolve) => process.stdin.resume().once('close', resolve));
}

/** First the morning, as fast as it is taken in; then on with the wall clock. */
async function play(house: House, simulation: ReturnType<typeof createSimulation>, clock: SettableClock, speed: number, signal: AbortSignal, onReady: () => void): Promise<void> {
  const { mqttUrl } = house.gateway;
  // While the morning came in, time went on: what that left is caught up too, until nothing worth a second is left.
  while (clock.nowMs() < Date.now() - 1500 && !signal.aborted) {
    await catchUp({ simulation, mqttUrl, fromMs: clock.nowMs() + 1000, toMs: Date.now(), setClock: (ms) => clock.set(ms), signal });
  }
  if (signal.aborted) return;
  clock.run(speed);
  onReady();
  await publishSimulation({ simulation, mqttUrl, nowMs: () => clock.nowMs(), signal });
}

/** Passwords are new at each start: nobody can have a default one. */
async function addPeople(accounts: Accounts): Promise<{ name: string; password: string; role: string }[]> {
  const people = PEOPLE.map((person) => ({ ...person, password: `${word()}-${word()}-${randomInt(10, 100)}` }));
  await Promise.all(people.map(({ name, role, password }) => accounts.addUser(name, role, password)));
  return people.map(({ name, password, role }) => ({ name, password, role }));
}

const WORDS = ['amber', 'anvil', 'basin', 'birch', 'cedar', 'chalk', 'cobble', 'copper', 'delta', 'ember', 'flint', 'gravel', 'harbor', 'iron', 'jetty', 'kelp', 'ledge', 'maple', 'north', 'ochre', 'pier', 'quartz', 'river', 'slate', 'timber', 'umber', 'valley', 'willow'];

function word(): string {
  return WORDS[randomInt(WORDS.length)] ?? 'anvil';
}

/** Who is under the hood in the demo. */
const BLASTERS = ['Ray', 'Sam', 'Kim', 'Ali', 'Jo', 'Max'];
/** Who tends the pots. */
const TENDER = 'Nell';

async function startShifts(house: House, site: string): Promise<void> {
  const writer = house.server.writer(site);
  const rigs = writer?.state.config?.rigs ?? [];
  for (const rig of rigs) {
    const blaster = BLASTERS[rigs.indexOf(rig) % BLASTERS.length] ?? 'Ray';
    const crew = [{ name: blaster, job: 'blaster' }, { name: TENDER, job: 'pot tender' }];
    await writer?.act({ kind: 'start-shift', rig: rig.id, crew, by: 'supervisor', role: 'supervisor', from: 'demo', key: `demo-start-${rig.id}` });
    const tender = (what: string) => ({ rig: rig.id, by: 'tender', role: 'tender', from: 'demo', key: `demo-${what}-${rig.id}` });
    for (const entry of ['bump-done', 'blotter'] as const) await writer?.act({ ...tender(entry), kind: 'entry', entry, value: null, place: '', text: '' });
    await writer?.act({ ...tender('hood-in'), kind: 'hood-in', name: blaster });
  }
}

function greeting({ url, mqtt, users }: { url: string; mqtt: string; users: readonly { name: string; password: string; role: string }[] }): string {
  const rows = users.map(({ name, password, role }) => `  ${name.padEnd(12)} ${password.padEnd(20)} ${role}`);
  return [
    '',
    `Potside demo: ${url}`,
    '',
    'Sign in as',
    ...rows,
    '',
    `Sensors publish to ${mqtt}. Ctrl-C ends the demo.`,
    'Potside monitors and advises. It is no substitute for the CO alarm, the deadman or a competent person.',
    '',
    '',
  ].join('\n');
}
