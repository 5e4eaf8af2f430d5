import { readFileSync } from 'node:fs';
import { once } from 'node:events';
import { setTimeout as sleep } from 'node:timers/promises';
import { Command } from 'commander';
import { unzipSync } from 'fflate';
import { parquetReadObjects } from 'hyparquet';
import mqtt, { type MqttClient } from 'mqtt';
import { findPointKind } from '../../domain/points/catalogue.ts';
import { type ReplayAnnouncement, replayAnswerTopic, replayTopic } from '../../domain/wire/replay.ts';
import { UserError } from '../../host/user-error.ts';
import { mqttPortFlag, speedFlag } from '../flags.ts';
import { untilStopped } from '../until-stopped.ts';

interface Flags {
  readonly mqttPort: number;
  readonly mqtt?: string;
  readonly site?: string;
  readonly speed: number;
}

interface Recorded {
  readonly owner: string;
  readonly point: string;
  readonly value: number | null;
  readonly observedAtMs: number;
  readonly receivedAtMs: number;
}

interface Bundle {
  readonly shift: string;
  readonly site: string;
  readonly readings: readonly Recorded[];
}

const BEAT_MS = 100;
const ANSWER_WITHIN_MS = 10_000;

/** `potside replay`: a recorded shift once more, as its sensors sent it, on a training site. */
export function replayCommand(): Command {
  return new Command('replay')
    .description('play a recorded shift again over MQTT, onto a training site, for training and drills')
    .argument('<file>', 'record.zip of the shift')
    .addOption(mqttPortFlag())
    .option('--mqtt <url>', 'a broker elsewhere, e.g. mqtt://192.0.2.7')
    .option('--site <id>', 'the training site; without it the site of the record')
    .addOption(speedFlag())
    .addHelpText('after', '\nThe site says training: true in its site.yaml and has the rigs of the record. Every screen and every record of it says *Replay*.\n\nExample:\n  potside serve --config training.yaml --data training-data &\n  potside replay record.zip\n')
    .action(async (file: string, flags: Flags) => {
      const bundle = await readBundle(file);
      const site = flags.site ?? bundle.site;
      const announcement: ReplayAnnouncement = { replay: bundle.shift, speed: flags.speed };
      const client = await connect(flags.mqtt ?? `mqtt://127.0.0.1:${flags.mqttPort}`, site);
      const stopping = new AbortController();
      void untilStopped().then(() => stopping.abort());
      try {
        await announce(client, site, announcement);
        process.stdout.write(`Replaying ${bundle.shift} onto ${site}: ${bundle.readings.length} readings. Ctrl-C ends it.\n`);
        await play(client, site, bundle, flags.speed, stopping.signal);
      } finally {
        if (client.connected) await client.publishAsync(replayTopic(site), '', { qos: 1, retain: true });
        await client.endAsync();
      }
      process.stdout.write('The replay is over.\n');
    });
}

async function readBundle(file: string): Promise<Bundle> {
  try {
    const files = unzipSync(readFileSync(file), { filter: ({ name }) => name === 'shift.json' || name === 'readings.parquet' });
    const [about, readings] = [files['shift.json'], files['readings.parquet']];
    if (!about || !readings) throw new Error('found no shift.json or no readings.parquet in it');
    const { id, site } = JSON.parse(Buffer.from(about).toString('utf8')) as { id?: unknown; site?: unknown };
    if (typeof id !== 'string' || typeof site !== 'string') throw new Error('shift.json: expected the shift’s id and site');
    const rows = await parquetReadObjects({ file: readings.slice().buffer });
    return { shift: id, site, readings: rows.flatMap(toRecorded).sort((a, b) => a.receivedAtMs - b.receivedAtMs) };
  } catch (error) {
    throw new UserError(`${file}: expected the record of a shift (record.zip): ${(error as Error).message}`);
  }
}

/** What sensors sent; what was computed of it is computed again. */
function toRecorded({ owner, point, value, time, received }: Record<string, unknown>): Recorded[] {
  if (typeof owner !== 'string' || typeof point !== 'string' || !(time instanceof Date) || findPointKind(point)?.origin !== 'measured') return [];
  return [{ owner, point, value: typeof value === 'number' ? value : null, observedAtMs: time.getTime(), receivedAtMs: received instanceof Date ? received.getTime() : time.getTime() }];
}

/** With a will, so that a replay that dies is over for the site too. */
async function connect(url: string, site: string): Promise<MqttClient> {
  const will = { topic: replayTopic(site), payload: Buffer.alloc(0), qos: 1, retain: true } as const;
  try {
    return await mqtt.connectAsync(url, { will, reconnectPeriod: 0, connectTimeout: ANSWER_WITHIN_MS }, false);
  } catch (error) {
    throw new UserError(`can’t reach the broker at ${url}: ${(error as Error).message}`);
  }
}

async function announce(client: MqttClient, site: string, announcement: ReplayAnnouncement): Promise<void> {
  await client.subscribeAsync(replayAnswerTopic(site), { qos: 1 });
  const answered = once(client as unknown as NodeJS.EventEmitter, 'message', { signal: AbortSignal.timeout(ANSWER_WITHIN_MS) }).catch(() => {
    throw new UserError(`no gateway of site ${site} answered within ${ANSWER_WITHIN_MS / 1000} s: is it running, and is this its broker?`);
  });
  await client.publishAsync(replayTopic(site), JSON.stringify(announcement), { qos: 1, retain: true });
  const [, payload] = (await answered) as [string, Buffer];
  const { playsAlong, why } = JSON.parse(payload.toString('utf8')) as { playsAlong: boolean; why?: string };
  if (!playsAlong) throw new UserError(`nothing was replayed: ${why ?? 'the gateway does not play along'}`);
}

/** In the order and at the distances in which the readings came, rebased to now; what a sensor was behind, it is behind again. */
async function play(client: MqttClient, site: string, { shift, readings }: Bundle, speed: number, signal: AbortSignal): Promise<void> {
  const startMs = performance.now();
  const firstMs = readings[0]?.receivedAtMs ?? 0;
  let sent: Promise<unknown>[] = [];
  for (const { owner, point, value, observedAtMs, receivedAtMs } of readings) {
    while (!signal.aborted && performance.now() - startMs < (receivedAtMs - firstMs) / speed) {
      await Promise.all(sent);
      sent = [];
      await sleep(BEAT_MS, undefined, { signal }).catch(() => undefined);
    }
    if (signal.aborted || !client.connected) break;
    const t = (Date.now() - Math.max(0, receivedAtMs - observedAtMs)) / 1000;
    sent.push(client.publishAsync(`potside/${site}/${owner}/${point}`, JSON.stringify({ v: value, t, replay: shift }), { qos: 1 }));
  }
  await Promise.all(sent);
  if (!client.connected) throw new UserError('the broker went away; the replay is over');
}
