import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { QUALITY_REASONS } from '../../domain/points/reading.ts';
import { IntakeMemory } from '../../gateway/intake-memory.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { makeMessage } from './support/hostile-messages.ts';

/** `FUZZ_PAYLOADS=1000000 npx vitest run tests/gateway/fuzz.test.ts` is the full run. */
const PAYLOADS = Number(process.env['FUZZ_PAYLOADS'] ?? 50_000);
const SEED = Number(process.env['FUZZ_SEED'] ?? 8428);
const NOW = 1_764_061_260_000;
const LONGEST_MS = 50;
/** A pause of the machine is no hang of the decoder: one that hangs does it again. */
const TRIES = 3;
const GROWTH_BYTES = 24 * 1024 * 1024;

const topics = new TopicMap(
  testSite(`${SITE_YAML}    points:
      supply-pressure: { topic: fuzz/number }
      pot-pressure: { topic: fuzz/json, payload: json, value: /a/0/v, time: /t }
      separator-pressure: { topic: fuzz/senml, payload: senml, name: "rig-b:x" }
      remote-control: { topic: fuzz/senml, payload: senml, name: "rig-b:on" }
      breathing-air-co: { topic: fuzz/loop, scale: 4-20mA, range: 0ppm..100ppm }
      nozzle-pressure: { topic: fuzz/edge, payload: sparkplug, metric: x }
      breathing-air-pressure: { topic: fuzz/edge/panel, payload: sparkplug, metric: x }
`),
);
const TOPICS = ['fuzz/number', 'fuzz/json', 'fuzz/senml', 'fuzz/loop', 'potside/pier-9/rig-a/breathing-air-co', 'spBv1.0/fuzz/NBIRTH/edge', 'spBv1.0/fuzz/NDATA/edge', 'spBv1.0/fuzz/DBIRTH/edge/panel', 'spBv1.0/fuzz/DDATA/edge/panel', 'spBv1.0/fuzz/NDEATH/edge', 'spBv1.0/fuzz/DDEATH/edge/panel'];

setFlagsFromString('--expose-gc');
const collectGarbage = runInNewContext('gc') as () => void;

it(
  `${PAYLOADS} hostile payloads: none throws, hangs, lets through a value that is not finite, or leaves anything behind`,
  () => {
    const random = mulberry32(SEED);
    const memory = new IntakeMemory();
    let heapAfterWarmUp = 0;
    const seen = { readings: 0, values: 0, refusals: new Set<string>() };
    for (let n = 0; n < PAYLOADS; n += 1) {
      if (n === Math.min(20_000, PAYLOADS >> 1)) heapAfterWarmUp = heapInUse();
      const message = makeMessage(random, TOPICS);
      const nowMs = NOW + n;
      let tookMs = Number.POSITIVE_INFINITY;
      for (let attempt = 0; attempt < TRIES && tookMs > LONGEST_MS; attempt += 1) {
        const before = process.cpuUsage();
        const { readings, refusals } = takeIn(topics, message, nowMs, memory);
        // Of the processor's time: on a busy machine the clock tells of others.
        const { user, system } = process.cpuUsage(before);
        tookMs = (user + system) / 1000;
        if (attempt > 0) continue;
        memory.seen.add(readings);
        for (const { value, quality, reason, observedAtMs } of readings) {
          const isSound = (value === null ? quality === 'bad' : Number.isFinite(value)) && (reason === null || QUALITY_REASONS.includes(reason)) && Number.isSafeInteger(observedAtMs) && observedAtMs <= nowMs;
          if (!isSound) expect.fail(`seed ${SEED}, payload ${n}: ${JSON.stringify({ value, quality, reason, observedAtMs })} from ${describe(message)}`);
          seen.readings += 1;
          if (value !== null) seen.values += 1;
        }
        for (const { reason } of refusals) seen.refusals.add(reason);
      }
      if (tookMs > LONGEST_MS) expect.fail(`seed ${SEED}, payload ${n}: ${Math.round(tookMs)} ms for ${describe(message)}`);
    }
    expect(Object.keys(Object.prototype)).toEqual([]);
    expect(heapInUse() - heapAfterWarmUp).toBeLessThan(GROWTH_BYTES);
    // The messages must reach what they are meant to try: else the run proves nothing.
    expect([...seen.refusals].sort()).toEqual(['not-a-number', 'not-born', 'not-finite', 'not-json', 'not-senml', 'not-sparkplug', 'not-text', 'retained-without-time', 'time-unreadable', 'too-deep', 'too-large', 'unknown-topic', 'value-missing', 'wrong-unit']);
    expect(seen.values).toBeGreaterThan(PAYLOADS / 10);
  },
  20 * 60_000,
);

function heapInUse(): number {
  collectGarbage();
  return process.memoryUsage().heapUsed;
}

function describe({ topic, payload }: { topic: string; payload: Uint8Array }): string {
  return `${topic.slice(0, 80)} ${Buffer.from(payload.subarray(0, 400)).toString('base64')}`;
}

/** A small generator of chance, the same for the same seed. */
function mulberry32(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
