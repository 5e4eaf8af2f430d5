import type { Simulation } from '../simulation.ts';
import { type BrokerAddress, type DeviceLink, openDeviceLink } from './device-link.ts';
import { pause } from './pause.ts';

/** How often the simulation is moved on, ms of the wall. */
const BEAT_MS = 100;

/**
 * Publishes a simulation paced against the wall, one MQTT client a device, QoS 1, until the signal aborts. `speed` other
 * than 1 runs the site faster than `nowMs`: the times in its payloads run ahead with it.
 */
export async function publishSimulation(options: BrokerAddress & {
  readonly simulation: Simulation;
  readonly nowMs: () => number;
  readonly speed?: number;
  readonly onError?: (error: Error) => void;
  readonly signal: AbortSignal;
}): Promise<void> {
  const { simulation, nowMs, signal } = options;
  const speed = options.speed ?? 1;
  const onError = options.onError ?? (() => undefined);
  const originMs = nowMs();
  const links = new Map<string, DeviceLink>();
  function linkOf(device: string): DeviceLink {
    const found = links.get(device) ?? openDeviceLink({ address: options, clientId: `${simulation.siteId}-${device.replaceAll('/', '-')}`, onError, random: Math.random, nowMs });
    links.set(device, found);
    return found;
  }
  try {
    while (!signal.aborted) {
      for (const message of simulation.advanceTo(originMs + (nowMs() - originMs) * speed)) linkOf(message.device).send(message);
      await pause(BEAT_MS, signal);
    }
  } finally {
    await Promise.all([...links.values()].map((link) => link.close()));
  }
}
