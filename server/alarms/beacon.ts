import type { BrokerConfig } from '../../domain/shift/site-config.ts';
import { type BeaconMessage, beaconClientId, beaconOf, beaconTopic } from '../../domain/wire/beacon.ts';
import { backOffMs, type Pace } from '../../host/back-off.ts';
import { brokerClient } from '../../host/broker-client.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { Site } from '../intake/site.ts';
import { standingAlarms } from '../live/describe-alarm.ts';

/** A message holds for so long, and is told anew three times within it. */
const VALID_FOR_S = 15;
const REFRESH_MS = 5_000;
/** A broker that hears nothing for one and a half of these tells the Last Will. */
const KEEPALIVE_S = 5;
const CONNECT_TIMEOUT_MS = 10_000;
const STOP_MS = 1_000;
const PACE: Pace = { firstMs: 200, longestMs: 10_000 };

export interface Beacon {
  isConnected(): boolean;
  /** Tells what is news; called after each commit. */
  update(): void;
  /** `isOthers`: another server tells it from now on, so that nothing is said for good-bye. */
  stop(how?: { readonly isOthers: boolean }): Promise<void>;
}

export interface BeaconOptions {
  readonly url: string;
  /** Credentials of a broker that is not ours; null for the embedded one. */
  readonly broker: BrokerConfig | null;
  /** For the embedded broker; null for one elsewhere. */
  readonly login?: { readonly username: string; readonly password: string } | null;
  readonly writer: Site;
  readonly clock: Clock;
  readonly log: Log;
}

/**
 * The site's beacon, over a client with a Last Will against whatever broker there is: what remains of a dead server is `unknown`.
 * A server that is not recording knows nothing either, and says so.
 */
export function startBeacon({ url, broker, login, writer, clock, log }: BeaconOptions): Beacon {
  const topic = beaconTopic(writer.siteId);
  const say = (state: BeaconMessage['state'], unacknowledged: number, sinceMs: number | null, validForS: number): string =>
    JSON.stringify({ state, unacknowledged, since: sinceMs === null ? null : new Date(sinceMs).toISOString(), at: new Date(clock.nowMs()).toISOString(), validForS, ...(writer.state.config?.site.training ? { drill: true as const } : {}) } satisfies BeaconMessage);
  const link = brokerClient(url, broker, {
    clean: true,
    clientId: beaconClientId(writer.siteId),
    keepalive: KEEPALIVE_S,
    connectTimeout: CONNECT_TIMEOUT_MS,
    will: { topic, payload: Buffer.from(say('unknown', 0, null, 0)), qos: 1, retain: true },
    ...(login ?? {}),
  });
  const { client } = link;
  let told = { state: 'unknown' as BeaconMessage['state'], unacknowledged: 0, sinceMs: clock.nowMs() };
  let failures = 0;
  let isStopped = false;
  let retry: NodeJS.Timeout | null = null;

  const now = (): typeof told => {
    const { state, unacknowledged } = writer.isRecording ? beaconOf(standingAlarms(writer.state)) : { state: 'unknown' as const, unacknowledged: 0 };
    return { state, unacknowledged, sinceMs: state === told.state ? told.sinceMs : clock.nowMs() };
  };
  const publish = (): void => {
    told = now();
    // What can't be sent is not queued: an old word about alarms is worse than none.
    if (client.connected) client.publish(topic, say(told.state, told.unacknowledged, told.sinceMs, VALID_FOR_S), { qos: 1, retain: true });
  };
  const update = (): void => {
    const { state, unacknowledged } = now();
    if (state !== told.state || unacknowledged !== told.unacknowledged) publish();
  };
  const refresh = setInterval(publish, REFRESH_MS);
  refresh.unref();
  client.on('connect', () => {
    failures = 0;
    publish();
  });
  client.on('error', (error) => log.warn({ broker: link.url(), reason: error.message }, 'the beacon’s MQTT connection is in trouble'));
  client.on('close', () => {
    if (isStopped || retry) return;
    failures += 1;
    link.turn();
    retry = setTimeout(() => {
      retry = null;
      client.reconnect();
    }, backOffMs(failures, Math.random(), PACE));
  });
  client.connect();
  return {
    isConnected: () => client.connected,
    update,
    stop: async (how) => {
      isStopped = true;
      clearInterval(refresh);
      if (retry) clearTimeout(retry);
      // Leaving in good order sends no Last Will, so it is said by hand; a broker that does not answer is not waited for.
      const said = client.connected && !how?.isOthers ? client.publishAsync(topic, say('unknown', 0, null, 0), { qos: 1, retain: true }).then(() => undefined, () => undefined) : Promise.resolve();
      await Promise.race([said, new Promise((resolve) => setTimeout(resolve, STOP_MS).unref())]);
      await client.endAsync(true);
    },
  };
}
