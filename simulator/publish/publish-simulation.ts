import type { Simulation } from '../simulation.ts';
import { type BrokerAddress, type DeviceLink, openDeviceLink } from './device-link.ts';
import { pause } from './pause.ts';

/** How often the simulation is moved on, ms of the wall. */
const BEAT_MS = 100;
/** At its end what the broker has not acknowledged is waited for, in beats. */
const LAST_BEATS = 50;

/**
 * Publishes a simulation paced against the wall, one MQTT client a device, QoS 1, until the signal aborts. `speed` other
 * than 1 runs the site faster than `nowMs`: the times in its payloads run ahead with it.
 */
export async function publishSimulation(options: BrokerAddress & {
  readonly simulation: Simulation;
  readonly nowMs: () => number;
  /** Simulated time at the beginning; `nowMs` then unless told otherwise. */
  readonly originMs?: number;
  /** Simulated time at which it ends by itself, what is unsent being given some seconds. */
  readonly untilMs?: number;
  readonly speed?: number;
  readonly onError?: (error: Error) => void;
  readonly signal: AbortSignal;
}): Promise<void> {
  const { simulation, nowMs, signal } = options;
  const speed = options.speed ?? 1;
  const onError = options.onError ?? (() => undefined);
  const beganMs = nowMs();
  const originMs = options.originMs ?? beganMs;
  const untilMs = options.untilMs ?? Infinity;
  const links = new Map<string, DeviceLink>();
  function linkOf(device: string): DeviceLink {
    const found = links.get(device) ?? openDeviceLink({ address: options, clientId: `${simulation.siteId}-${device.replaceAll('/', '-')}`, onError, random: Math.random, nowMs });
    links.set(device, found);
    return found;
  }
  try {
    for (let atMs = originMs; !signal.aborted && atMs < untilMs; ) {
      atMs = Math.min(untilMs, originMs + (nowMs() - beganMs) * speed);
      for (const message of simulation.advanceTo(atMs)) linkOf(message.device).send(message);
      await pause(BEAT_MS, signal);
    }
    for (let beat = 0; !signal.aborted && beat < LAST_BEATS && [...links.values()].some((link) => link.waiting() > 0); beat += 1) await pause(BEAT_MS, signal);
  } finally {
    await Promise.all([...links.values()].map((link) => link.close()));
  }
}
