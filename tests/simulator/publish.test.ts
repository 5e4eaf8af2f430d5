import { afterEach, describe, expect, it } from 'vitest';
import { catchUp } from '../../simulator/publish/catch-up.ts';
import { publishSimulation } from '../../simulator/publish/publish-simulation.ts';
import { createSimulation } from '../../simulator/simulation.ts';
import { type TestBroker, openTestBroker } from './broker.ts';

const START = 1_764_000_000_000;
const brokers: TestBroker[] = [];
async function open(): Promise<TestBroker> {
  const broker = await openTestBroker();
  brokers.push(broker);
  return broker;
}
afterEach(async () => {
  for (const broker of brokers.splice(0)) await broker.close();
});

/** A wall that runs `rate` times as fast as the real one. */
function fastWall(rate: number): () => number {
  const beganAt = performance.now();
  return () => START + (performance.now() - beganAt) * rate;
}

async function until(condition: () => boolean, forMs = 8000): Promise<void> {
  const end = performance.now() + forMs;
  while (!condition()) {
    if (performance.now() > end) throw new Error('waited in vain');
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

describe('catching up', () => {
  it('brings the past in second by second, each acknowledged before the clock moves on', async () => {
    const broker = await open();
    const simulation = createSimulation({ scenario: 'demo', seed: 1, rigs: 2, startAtMs: START });
    let clock = 0;
    const early: string[] = [];
    const settings: number[] = [];
    await catchUp({
      simulation, mqttUrl: broker.url, fromMs: START, toMs: START + 120_000, signal: new AbortController().signal,
      setClock: (ms) => {
        clock = ms;
        settings.push(broker.received.length);
        for (const { payload } of broker.received) if (payload.startsWith('{') && Math.round(JSON.parse(payload).ts * 1000) > clock) early.push(payload);
      },
    });
    const expected = createSimulation({ scenario: 'demo', seed: 1, rigs: 2, startAtMs: START }).advanceTo(START + 120_000);
    expect(broker.received.map(({ payload }) => payload).sort()).toEqual(expected.map(({ payload }) => payload).sort());
    expect(early).toEqual([]);
    expect(settings.at(-1)).toBeGreaterThan(600);
  });

  it('says so when the broker breaks off', async () => {
    const broker = await open();
    const simulation = createSimulation({ scenario: 'demo', seed: 1, rigs: 2, startAtMs: START });
    const running = catchUp({ simulation, mqttUrl: broker.url, fromMs: START, toMs: START + 3_600_000, signal: new AbortController().signal, setClock: (ms) => { if (ms === START + 60_000) broker.cut(); } });
    await expect(running).rejects.toThrow(/closed the connection/);
  });

  it('ends without an error when it is called off', async () => {
    const broker = await open();
    const called = new AbortController();
    const simulation = createSimulation({ scenario: 'demo', seed: 1, rigs: 2, startAtMs: START });
    await catchUp({ simulation, mqttUrl: broker.url, fromMs: START, toMs: START + 7_200_000, signal: called.signal, setClock: (ms) => { if (ms === START + 60_000) called.abort(); } });
    expect(broker.received.length).toBeLessThan(500);
  });
});

describe('publishing against the wall', () => {
  it('uses one client a device and keeps each device in order', async () => {
    const broker = await open();
    const ended = new AbortController();
    const simulation = createSimulation({ scenario: 'demo', seed: 1, rigs: 2, startAtMs: START });
    const running = publishSimulation({ simulation, mqttUrl: broker.url, nowMs: fastWall(20), signal: ended.signal });
    await until(() => broker.received.length > 150);
    ended.abort();
    await running;
    const byTopic = group(broker.received);
    expect(byTopic.size).toBe(11);
    for (const messages of byTopic.values()) expect(new Set(messages.map(({ client }) => client)).size).toBe(1);
    expect(new Set(broker.received.map(({ client }) => client)).size).toBe(11);
    const times = (byTopic.get('tamber-2/rig-a/line') ?? []).map(({ payload }) => JSON.parse(payload).ts as number);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });

  it('loses nothing to a cut connection', async () => {
    const broker = await open();
    const ended = new AbortController();
    const simulation = createSimulation({ scenario: 'demo', seed: 1, rigs: 1, startAtMs: START });
    const running = publishSimulation({ simulation, mqttUrl: broker.url, nowMs: fastWall(20), signal: ended.signal });
    await until(() => broker.received.length > 40);
    broker.cut();
    const before = broker.received.length;
    await until(() => broker.received.length > before + 120);
    ended.abort();
    await running;
    const seconds = new Set(group(broker.received).get('tamber-2/rig-a/line')?.map(({ payload }) => Math.floor(JSON.parse(payload).ts)));
    const all = [...seconds].sort((a, b) => a - b);
    expect(all.at(-1)! - all[0]! + 1).toBe(all.length);
  });

  it('waits for a broker that is not there yet, and ends when told', async () => {
    const broker = await openTestBroker();
    await broker.close();
    const ended = new AbortController();
    const errors: Error[] = [];
    const simulation = createSimulation({ scenario: 'demo', seed: 1, rigs: 1, startAtMs: START });
    const running = publishSimulation({ simulation, mqttUrl: broker.url, nowMs: fastWall(5), onError: (error) => errors.push(error), signal: ended.signal });
    await until(() => errors.length > 0);
    const back = await openTestBroker(Number(new URL(broker.url).port));
    brokers.push(back);
    await until(() => back.received.length > 20);
    ended.abort();
    await running;
  });
});

function group<T extends { topic: string }>(messages: readonly T[]): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const message of messages) groups.set(message.topic, [...(groups.get(message.topic) ?? []), message]);
  return groups;
}
