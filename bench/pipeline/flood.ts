import mqtt from 'mqtt';
import { pack, topicOf } from './packs.ts';

/**
 * A process of its own that publishes at QoS 1 as fast as acknowledgements come back: `flood.js <mqtt url> <one|pack> <seconds>
 * [messages a second]`: as fast as acknowledgements come back, or at a steady rate. Prints what was acknowledged and the 99th percentile of the time to the acknowledgement.
 */
const [, , url = '', mode = 'one', seconds = '5', rate] = process.argv;
const CLIENTS = 4;
/** Messages under way on each connection: what a line of some tens of ms holds at the rates aimed at. */
const UNDER_WAY = mode === 'one' ? 100 : 10;

/** A program that runs for ten hours is not judged by its first second, in which its code is still being compiled. */
const WARM_UP_MS = 2_000;

const delays: number[] = [];
let sent = 0;
let acknowledged = 0;
const begun = performance.now();
const countedFrom = begun + WARM_UP_MS;
const endAt = countedFrom + Number(seconds) * 1000;

/** Waits until the n-th message is due. One that is late is counted from when it was due: a queue at the sender is a delay too. */
async function due(number: number): Promise<number> {
  if (rate === undefined) return performance.now();
  const dueAt = begun + (number / Number(rate)) * 1000;
  while (performance.now() < dueAt) await new Promise((resolve) => setTimeout(resolve, 1));
  return dueAt;
}

async function run(): Promise<void> {
  const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
  await Promise.all(
    Array.from({ length: UNDER_WAY }, async () => {
      while (performance.now() < endAt) {
        const number = sent++;
        const dueAt = await due(number);
        if (mode === 'one') await client.publishAsync(topicOf(number), String(60 + (number % 10)), { qos: 1 });
        else await client.publishAsync('pack', pack(number), { qos: 1 });
        if (dueAt >= countedFrom) delays.push(performance.now() - dueAt);
        acknowledged += 1;
      }
    }),
  );
  await client.endAsync();
}

await Promise.all(Array.from({ length: CLIENTS }, run));
const p99Ms = delays.toSorted((a, b) => a - b)[Math.floor(delays.length * 0.99)] ?? Number.NaN;
process.stdout.write(`${JSON.stringify({ acknowledged, seconds: (performance.now() - begun) / 1000, p99Ms })}\n`);
