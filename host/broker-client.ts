import { readFileSync } from 'node:fs';
import { isIP } from 'node:net';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import type { BrokerConfig } from '../domain/shift/site-config.ts';

export interface BrokerClient {
  readonly client: MqttClient;
  /** Address of the broker that it is at, or tries next. */
  url(): string;
  /** Turns to the next broker of the cluster, from the next connection on. The same one where there is no other. */
  turn(): void;
}

/** What of an address MQTT.js reads from its options each time it connects. */
type Address = Required<Pick<IClientOptions, 'host' | 'hostname' | 'port' | 'protocol'>> & { readonly servername: string | undefined };

const PORTS = { mqtt: 1883, mqtts: 8883 } as const;

/**
 * A client of MQTT.js with the broker's account and authority, not connected yet and without reconnection of its own: the pace and the turn
 * are the caller's. The library's own list of servers is not used: under TLS it goes on asking every one of them for the first one's name.
 * @throws when a file of the configuration can't be read.
 */
export function brokerClient(url: string, broker: BrokerConfig | null, more: IClientOptions): BrokerClient {
  const options: IClientOptions = {
    manualConnect: true,
    reconnectPeriod: 0,
    ...more,
    ...(broker?.username ? { username: broker.username } : {}),
    ...(broker?.passwordFile ? { password: readFileSync(broker.passwordFile, 'utf8').trim() } : {}),
    ...(broker?.caFile ? { ca: readFileSync(broker.caFile) } : {}),
  };
  const urls = [url, ...(broker?.otherUrls ?? [])];
  if (urls.length === 1) return { client: mqtt.connect(url, options), url: () => url, turn: () => undefined };
  let at = 0;
  const current = (): string => urls[at] ?? url;
  // Given no address beside them, it keeps these very options and looks into them anew each time.
  Object.assign(options, address(current()));
  return {
    client: mqtt.connect(options),
    url: current,
    turn: () => {
      at = (at + 1) % urls.length;
      Object.assign(options, address(current()));
    },
  };
}

function address(url: string): Address {
  const { hostname, port, protocol } = new URL(url);
  const scheme = protocol === 'mqtts:' ? 'mqtts' : 'mqtt';
  const host = hostname.replace(/^\[|\]$/g, '');
  return { host, hostname: host, port: port === '' ? PORTS[scheme] : Number(port), protocol: scheme, servername: isIP(host) === 0 ? host : undefined };
}
