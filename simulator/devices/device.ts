import { type Random, createRandom } from '../random.ts';
import type { Script } from '../scenarios/script.ts';
import { type Sensor, type SensorBuild, type SensorFault, createSensor, currentOf, readSensor } from '../sensors/sensor.ts';
import { composeSenml, senmlBase } from './compose/compose-senml.ts';
import { type NodeMemory, composeSparkplug } from './compose/compose-sparkplug.ts';

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

/** `number`: each channel bare on the default topic of its point, without a time. `loop`: JSON with currents in mA. */
export type DeviceForm = 'json' | 'number' | 'senml' | 'sparkplug' | 'loop';

/** A box on site with sensors wired to it. */
export interface DeviceBuild {
  readonly id: string;
  /** With `number` what stands before the point, with `sparkplug` `<group>/<edge node>`. */
  readonly topic: string;
  readonly everyMs: number;
  readonly payload: DeviceForm;
  readonly channels: readonly Channel[];
}

/** What a device publishes, and when. */
export interface DeviceMessage {
  readonly device: string;
  readonly topic: string;
  readonly payload: string;
  /** Sent instead of `payload` where the form is no text. */
  readonly bytes?: Uint8Array;
  readonly atMs: number;
}

/** What goes over the wire. */
export function bytesOf({ payload, bytes }: DeviceMessage): string | Buffer {
  return bytes === undefined ? payload : Buffer.from(bytes);
}

export interface Device {
  readonly build: DeviceBuild;
  readonly siteId: string;
  readonly sensors: readonly Sensor[];
  readonly random: Random;
  readonly node: NodeMemory;
  readonly bootMs: number;
  dueMs: number;
  /** Kept while the network is cut. */
  readonly kept: DeviceMessage[];
}

/** Jitter of a device's interval, ms: clocks of small boards and radio slots. */
const JITTER_MS = 60;

export function createDevice(build: DeviceBuild, siteId: string, seed: number, startMs: number): Device {
  const random = createRandom(seed, `device ${build.id}`);
  const sensors = build.channels.map((channel) => createSensor(channel.sensor, seed, `${channel.owner}/${channel.point}`));
  return { build, siteId, sensors, random, node: { sent: 0 }, bootMs: startMs, dueMs: startMs + random.between(0, build.everyMs), kept: [] };
}

/** Lets a device publish what is due before `untilMs`, into `out`. */
export function runDevice(device: Device, untilMs: number, script: Script, out: DeviceMessage[]): void {
  while (device.dueMs < untilMs) {
    const { build } = device;
    const atMs = Math.round(device.dueMs + device.random.between(0, JITTER_MS));
    device.dueMs += build.everyMs;
    if (script.touches(build.id) && script.sensorEffect(build.id, 'silent') > 0) continue;
    const messages = compose(device, atMs, script);
    if (script.touches(build.id) && script.sensorEffect(build.id, 'networkCut') > 0) device.kept.push(...messages);
    else {
      // What was kept goes first, in order: the time of each stands in its payload.
      for (const late of device.kept.splice(0)) out.push({ ...late, atMs });
      out.push(...messages);
    }
  }
}

function compose(device: Device, atMs: number, script: Script): DeviceMessage[] {
  const { build } = device;
  const values = device.sensors.flatMap((sensor, i) => {
    const channel = build.channels[i];
    return channel ? [{ channel, value: readChannel(channel, sensor, build, script) }] : [];
  });
  const saidMs = clockOf(device, atMs, script);
  const one = (topic: string, payload: string, bytes?: Uint8Array): DeviceMessage => ({ device: build.id, topic, payload, ...(bytes === undefined ? {} : { bytes }), atMs });
  switch (build.payload) {
    case 'number':
      return values.map(({ channel, value }) => one(`${build.topic}/${channel.point}`, String(value)));
    case 'senml':
      return [one(build.topic, composeSenml(senmlBase(device.siteId, build.id), values.map(({ channel: { point, unit }, value }) => ({ name: point, unit, value })), saidMs / 1000))];
    case 'sparkplug': {
      const { topic, bytes } = composeSparkplug(build.topic, values.map(({ channel, value }) => ({ name: channel.point, value })), Math.round(saidMs), device.node);
      return [one(topic, '', bytes)];
    }
    case 'json':
    case 'loop': {
      const body: Record<string, unknown> = { ts: saidMs / 1000 };
      for (const { channel, value } of values) place(body, channel.pointer, value);
      return [one(build.topic, JSON.stringify(body))];
    }
  }
}

/** What the device's clock says: off by some seconds, or, without a battery, counting from 1970 until somebody sets it. */
function clockOf({ build, bootMs }: Device, atMs: number, script: Script): number {
  if (!script.touches(build.id)) return atMs;
  if (script.sensorEffect(build.id, 'clockUnset') > 0) return atMs - bootMs;
  return atMs + 1000 * script.sensorEffect(build.id, 'clockOffS');
}

function readChannel(channel: Channel, sensor: Sensor, build: DeviceBuild, script: Script): number {
  const since = build.everyMs / 1000;
  const inMilliamps = build.payload === 'loop' && channel.unit !== '{count}';
  const fault = faultOf(`${channel.owner}/${channel.point}`, script);
  return inMilliamps ? currentOf(sensor, channel.truth(), since, fault) : readSensor(sensor, channel.truth(), since, fault);
}

function faultOf(id: string, script: Script): SensorFault | undefined {
  if (!script.touches(id)) return undefined;
  const of = (effect: string): number => script.sensorEffect(id, effect);
  return { stuck: of('stuck') > 0, offset: of('offset'), scale: of('scale'), loop: of('loopOpen') > 0 ? 'open' : of('loopShort') > 0 ? 'short' : 'closed', driftMilliamps: of('loopDriftMa') };
}

/** Puts a value where its pointer says; pointers here are one or two steps of plain names. */
function place(body: Record<string, unknown>, pointer: string, value: number): void {
  const [, first = '', second] = pointer.split('/');
  if (second === undefined) body[first] = value;
  else body[first] = { ...(body[first] as object | undefined), [second]: value };
}
