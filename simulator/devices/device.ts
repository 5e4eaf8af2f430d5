import { type Random, createRandom } from '../random.ts';
import type { Script } from '../scenarios/script.ts';
import { type Sensor, type SensorBuild, createSensor, readSensor } from '../sensors/sensor.ts';

/** One quantity that a device reports. */
export interface Channel {
  readonly point: string;
  /** Rig, compressor or site that the point belongs to. */
  readonly owner: string;
  /** Where the value stands in a JSON payload, as a JSON Pointer; unused for a bare number. */
  readonly pointer: string;
  /** UCUM code. */
  readonly unit: string;
  readonly sensor: SensorBuild;
  /** The true value in that unit. */
  readonly truth: () => number;
}

/** A box on site with sensors wired to it and one topic. */
export interface DeviceBuild {
  readonly id: string;
  readonly topic: string;
  readonly everyMs: number;
  /** `number`: one channel, bare, without a time. */
  readonly payload: 'json' | 'number';
  readonly channels: readonly Channel[];
}

/** What a device publishes, and when. */
export interface DeviceMessage {
  readonly device: string;
  readonly topic: string;
  readonly payload: string;
  readonly atMs: number;
}

export interface Device {
  readonly build: DeviceBuild;
  readonly sensors: readonly Sensor[];
  readonly random: Random;
  dueMs: number;
  /** Kept while the network is cut. */
  readonly kept: DeviceMessage[];
}

/** Jitter of a device's interval, ms: clocks of small boards and radio slots. */
const JITTER_MS = 60;

export function createDevice(build: DeviceBuild, seed: number, startMs: number): Device {
  const random = createRandom(seed, `device ${build.id}`);
  const sensors = build.channels.map((channel) => createSensor(channel.sensor, seed, `${channel.owner}/${channel.point}`));
  return { build, sensors, random, dueMs: startMs + random.between(0, build.everyMs), kept: [] };
}

/** Lets a device publish what is due before `untilMs`, into `out`. */
export function runDevice(device: Device, untilMs: number, script: Script, out: DeviceMessage[]): void {
  while (device.dueMs < untilMs) {
    const { build } = device;
    const atMs = Math.round(device.dueMs + device.random.between(0, JITTER_MS));
    device.dueMs += build.everyMs;
    if (script.touches(build.id) && script.sensorEffect(build.id, 'silent') > 0) continue;
    const message = { device: build.id, topic: build.topic, payload: composePayload(device, atMs, script), atMs };
    if (script.touches(build.id) && script.sensorEffect(build.id, 'networkCut') > 0) device.kept.push(message);
    else {
      // What was kept goes first, in order: the time of each stands in its payload.
      for (const late of device.kept.splice(0)) out.push({ ...late, atMs });
      out.push(message);
    }
  }
}

function composePayload(device: Device, atMs: number, script: Script): string {
  const { build, sensors } = device;
  const since = build.everyMs / 1000;
  const first = build.channels[0];
  const firstSensor = sensors[0];
  if (build.payload === 'number') return first && firstSensor ? String(readChannel(first, firstSensor, since, script)) : '';
  const clockOff = script.touches(build.id) ? script.sensorEffect(build.id, 'clockOffS') : 0;
  const body: Record<string, unknown> = { ts: atMs / 1000 + clockOff };
  build.channels.forEach((channel, i) => {
    const sensor = sensors[i];
    if (sensor) place(body, channel.pointer, readChannel(channel, sensor, since, script));
  });
  return JSON.stringify(body);
}

function readChannel(channel: Channel, sensor: Sensor, since: number, script: Script): number {
  const id = `${channel.owner}/${channel.point}`;
  const fault = script.touches(id) ? { stuck: script.sensorEffect(id, 'stuck') > 0, offset: script.sensorEffect(id, 'offset'), scale: script.sensorEffect(id, 'scale') } : undefined;
  return readSensor(sensor, channel.truth(), since, fault);
}

/** Puts a value where its pointer says; pointers here are one or two steps of plain names. */
function place(body: Record<string, unknown>, pointer: string, value: number): void {
  const [, first = '', second] = pointer.split('/');
  if (second === undefined) body[first] = value;
  else body[first] = { ...(body[first] as object | undefined), [second]: value };
}
