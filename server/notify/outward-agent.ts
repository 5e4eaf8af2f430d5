import { type LookupAddress, lookup } from 'node:dns';
import { Agent, type AgentOptions } from 'node:https';
import { BlockList, isIP, type LookupFunction } from 'node:net';

/** Addresses that are not out in the internet: this machine, its networks, and forms that hide one of them. */
const INSIDE_4 = new BlockList();
/** A list of its own: Node would take an IPv4 address for the mapped form of it. */
const INSIDE_6 = new BlockList();
for (const [net, bits] of [
  ['0.0.0.0', 8], ['10.0.0.0', 8], ['100.64.0.0', 10], ['127.0.0.0', 8], ['169.254.0.0', 16], ['172.16.0.0', 12], ['192.0.0.0', 24], ['192.0.2.0', 24],
  ['192.88.99.0', 24], ['192.168.0.0', 16], ['198.18.0.0', 15], ['198.51.100.0', 24], ['203.0.113.0', 24], ['224.0.0.0', 4], ['240.0.0.0', 4],
] as const) INSIDE_4.addSubnet(net, bits, 'ipv4');
for (const [net, bits] of [['::', 96], ['::ffff:0:0', 96], ['64:ff9b::', 96], ['64:ff9b:1::', 48], ['100::', 64], ['2001::', 23], ['2001:db8::', 32], ['2002::', 16], ['fc00::', 7], ['fe80::', 10], ['ff00::', 8]] as const) INSIDE_6.addSubnet(net, bits, 'ipv6');

export function isInside(address: string): boolean {
  return isIP(address) === 6 ? INSIDE_6.check(address, 'ipv6') : INSIDE_4.check(address, 'ipv4');
}

/** Refused before a connection: the address is inside, and the host is not among those allowed there. */
export class InsideError extends Error {}

/**
 * Looks a name up once and connects to what was found and judged: a name that answers otherwise the second time gains nothing. Each
 * address must be outside, unless the host is named in `ownHosts`.
 */
export function outwardLookup(ownHosts: readonly string[], resolve: typeof lookup = lookup): LookupFunction {
  return (host, options, done) => {
    resolve(host, { ...options, all: true }, (error, found: LookupAddress[]) => {
      if (error) return done(error, '', 4);
      const inside = ownHosts.includes(host) ? undefined : found.find(({ address }) => isInside(address));
      const [first] = found;
      if (inside || !first) return done(new InsideError(`${host} leads to ${inside?.address ?? 'nowhere'}, inside our own network`), '', 4);
      if (options.all) return done(null, found);
      done(null, first.address, first.family);
    });
  };
}

/** Connects outward only; for addresses that people give us. */
export function outwardAgent(ownHosts: readonly string[], options: AgentOptions = {}): Agent {
  return new Agent({ ...options, keepAlive: false, maxSockets: 16, lookup: outwardLookup(ownHosts) });
}

/** What is wrong with an address that people gave us, before anything is looked up; null where nothing is. */
export function wrongUrl(url: string, ownHosts: readonly string[]): string | null {
  let parsed: URL;
  try {
    parsed = new URL(url);
  } catch {
    return 'expected an address, https://…';
  }
  if (parsed.protocol !== 'https:') return `found ${parsed.protocol}//, expected https://`;
  if (parsed.username !== '' || parsed.password !== '') return 'expected no name or password in the address';
  const host = parsed.hostname.replace(/^\[|\]$/g, '');
  // A literal address is never looked up, so it is judged here.
  if (isIP(host) !== 0 && isInside(host) && !ownHosts.includes(host)) return `${host} is inside our own network`;
  if (host === 'localhost' && !ownHosts.includes(host)) return 'localhost is inside our own network';
  return null;
}
