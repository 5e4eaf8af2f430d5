import mqtt from 'mqtt';
import { onTestFinished } from 'vitest';
import { Crew, type Told } from '../../../bench/score/crew.ts';
import { startHouse } from '../../../cli/house.ts';
import { SettableClock } from '../../../host/clock.ts';
import { parseSiteYaml } from '../../../host/read-site-config.ts';
import { SCENARIOS, type TrueFault, createSimulation } from '../../../simulator/simulation.ts';
import { QUIET } from '../../support/quiet.ts';
import { PASSWORD } from '../../support/server.ts';
import { tempDir } from '../../support/temp-dir.ts';

/** A stretch of a scenario as its devices publish it, times in seconds from going live. */
export interface Stretch {
  readonly scenario: string;
  readonly rigs: number;
  /** From here on it is published; what was before happened unseen. */
  readonly fromS: number;
  readonly untilS: number;
}

/** An alarm that the journal says was announced. */
export interface Announced {
  readonly alarm: string;
  readonly priority: string;
  readonly s: number;
}

export interface Walked {
  readonly announced: readonly Announced[];
  /** What the simulation says really went wrong. */
  readonly faults: readonly TrueFault[];
  readonly liveFromMs: number;
  get(path: string): Promise<any>;
}

/** A Monday in autumn, seven in the morning on the Gulf. */
const USUAL_START_MS = Date.UTC(2026, 8, 14, 12);
/** Twenty minutes of the scenario go by before it goes live. */
const BEFORE_MS = 1_200_000;
const SEED = 1;

/**
 * Plays a stretch through the real path: the scenario's devices over MQTT, the embedded broker, the gateway's outbox, the server's
 * fold and record, on the house's injected clock; what came of it is read over HTTP. One second is published, acknowledged and
 * committed before the clock moves on, so that nothing depends on how fast this machine is.
 */
export async function walkPath({ scenario, rigs, fromS, untilS }: Stretch): Promise<Walked> {
  const meantFor = SCENARIOS.find(({ name }) => name === scenario)?.meantFor;
  const startAtMs = meantFor === undefined ? USUAL_START_MS : Date.parse(meantFor);
  const liveFromMs = startAtMs + BEFORE_MS;
  const simulation = createSimulation({ scenario, seed: SEED, rigs, startAtMs, liveFromMs });
  const fromMs = liveFromMs + fromS * 1000;
  simulation.advanceTo(fromMs);
  const config = parseSiteYaml(simulation.siteYaml, 'site.yaml');
  const clock = new SettableClock(fromMs);
  const house = await startHouse({ config, dataDir: tempDir(), host: '127.0.0.1', port: 0, mqttPort: 0, makeClock: () => clock, log: QUIET, demo: false });
  const client = await mqtt.connectAsync(house.gateway.mqttUrl, { protocolVersion: 4, reconnectPeriod: 0 });
  onTestFinished(async () => {
    await client.endAsync(true);
    await house.stop();
  });
  const { url, accounts } = house.server;
  await accounts.addUser('dana', 'supervisor', PASSWORD);
  const cookie = await signIn(url);
  const state = (): NonNullable<ReturnType<typeof house.server.writer>>['state'] | undefined => house.server.writer(simulation.siteId)?.state;
  const crew = new Crew(config.rigs.map(({ id }) => id), fromMs);
  const committed = async (): Promise<void> => {
    while (house.gateway.status().waiting > 0) await new Promise((resolve) => setImmediate(resolve));
  };
  for (let atMs = fromMs + 1000; atMs <= liveFromMs + untilS * 1000; atMs += 1000) {
    clock.set(atMs);
    await Promise.all(simulation.advanceTo(atMs).map(({ topic, payload }) => client.publishAsync(topic, payload, { qos: 1 })));
    // Well within the minute in which a reading is live.
    if (atMs % 5000 === 0) await committed();
    for (const told of crew.due(atMs, (rig) => state()?.point(rig, 'blasting')?.value === 1)) await tell(url, cookie, told);
  }
  await committed();
  const later = await signIn(url);
  const get = async (path: string): Promise<any> => {
    const response = await fetch(url + path, { headers: { cookie: later } });
    if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
    return response.json();
  };
  return { announced: await readAnnounced(get, liveFromMs), faults: simulation.faults, liveFromMs, get };
}

async function signIn(url: string): Promise<string> {
  const response = await fetch(`${url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'dana', password: PASSWORD }) });
  return (response.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
}

async function tell(url: string, cookie: string, told: Told): Promise<void> {
  const post = async (path: string, body: object): Promise<void> => {
    const response = await fetch(url + path, { method: 'POST', headers: { cookie, 'content-type': 'application/json' }, body: JSON.stringify(body) });
    if (!response.ok) throw new Error(`${path}: ${await response.text()}`);
  };
  if (told.kind === 'start-shift') return post('/api/shifts', { rig: told.rig });
  if (told.kind === 'hood-in') return post(`/api/rigs/${told.rig}/hood-in`, { name: told.name });
  const { entry: kind, value, place, text } = told;
  return post(`/api/rigs/${told.rig}/entries`, { kind, value, place, text });
}

/** Every announcement in the journal, oldest first. */
async function readAnnounced(get: Walked['get'], liveFromMs: number): Promise<Announced[]> {
  const announced: Announced[] = [];
  for (let cursor: string | null = ''; cursor !== null; ) {
    const page: any = await get(`/api/journal?limit=500${cursor === '' ? '' : `&cursor=${cursor}`}`);
    for (const { kind, rig, at, detail } of page.items) {
      if (kind !== 'alarm' || detail.to !== 'unacknowledged' || detail.from === 'unacknowledged') continue;
      announced.push({ alarm: `${rig}/${detail.name}`, priority: detail.priority, s: (Date.parse(at) - liveFromMs) / 1000 });
    }
    cursor = page.next;
  }
  return announced.reverse();
}

interface Column {
  readonly atMs: readonly number[];
  readonly min: readonly (number | null)[];
}

async function columnOf({ get, liveFromMs }: Walked, rig: string, point: string, fromS: number, untilS: number): Promise<Column> {
  const at = (s: number): string => encodeURIComponent(new Date(liveFromMs + s * 1000).toISOString());
  const { series } = await get(`/api/rigs/${rig}/trace?points=${point}&from=${at(fromS)}&to=${at(untilS)}&width=4000`);
  return series[0];
}

/** When the record has readings of a point in a stretch that is short enough to have each in a pixel of its own. */
export async function recordOf(walked: Walked, rig: string, point: string, fromS: number, untilS: number): Promise<number[]> {
  const { atMs, min } = await columnOf(walked, rig, point, fromS, untilS);
  return atMs.filter((_, i) => min[i] !== null);
}

/** The values of the same. */
export async function valuesOf(walked: Walked, rig: string, point: string, fromS: number, untilS: number): Promise<number[]> {
  const { min } = await columnOf(walked, rig, point, fromS, untilS);
  return min.filter((value) => value !== null);
}
