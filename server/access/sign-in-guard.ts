import { isIPv6 } from 'node:net';
import type { Clock } from '../../host/clock.ts';

/** So many wrong ones in a row cost nothing; then the wait doubles from a second to a minute. */
const FREE_BY_NAME = 5;
const FREE_BY_ADDRESS = 30;
const LONGEST_MS = 60_000;
const FORGOTTEN_MS = 3_600_000;
/** So many wrong ones within an hour, from wherever: somebody tries this account. */
const ATTACKED_ABOVE = 50;
/** Bounds the memory: names and addresses are the caller's. */
const REMEMBERED = 10_000;

interface Tries {
  failures: number;
  notBeforeMs: number;
  lastMs: number;
}

/**
 * Slows down who guesses, by account and address and by address alone, and knows when an account is being tried from many. It never
 * shuts an account: what it does then is for `SignIn` to say.
 */
export class SignInGuard {
  readonly #clock: Clock;
  readonly #byName = new Map<string, Tries>();
  readonly #byAddress = new Map<string, Tries>();
  readonly #failures = new Map<string, number[]>();

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** Ms to wait before the next try of this name from this address; 0 for none. */
  waitMs(name: string, address: string): number {
    const now = this.#clock.nowMs();
    const until = Math.max(this.#byName.get(pair(name, address))?.notBeforeMs ?? 0, this.#byAddress.get(network(address))?.notBeforeMs ?? 0);
    return Math.max(0, until - now);
  }

  failed(name: string, address: string): void {
    const now = this.#clock.nowMs();
    count(this.#byName, pair(name, address), FREE_BY_NAME, now);
    count(this.#byAddress, network(address), FREE_BY_ADDRESS, now);
    const recent = (this.#failures.get(name) ?? []).filter((ms) => ms > now - FORGOTTEN_MS);
    remember(this.#failures, name, [...recent.slice(-ATTACKED_ABOVE), now]);
  }

  succeeded(name: string, address: string): void {
    this.#byName.delete(pair(name, address));
    this.#byAddress.delete(network(address));
  }

  isAttacked(name: string): boolean {
    const now = this.#clock.nowMs();
    return (this.#failures.get(name) ?? []).filter((ms) => ms > now - FORGOTTEN_MS).length > ATTACKED_ABOVE;
  }
}

function count(tries: Map<string, Tries>, key: string, free: number, now: number): void {
  const held = tries.get(key);
  const failures = (held && held.lastMs > now - FORGOTTEN_MS ? held.failures : 0) + 1;
  const waitMs = failures <= free ? 0 : Math.min(LONGEST_MS, 1_000 * 2 ** (failures - free - 1));
  remember(tries, key, { failures, notBeforeMs: now + waitMs, lastMs: now });
}

function remember<V>(map: Map<string, V>, key: string, value: V): void {
  map.delete(key);
  map.set(key, value);
  if (map.size > REMEMBERED) map.delete(map.keys().next().value as string);
}

function pair(name: string, address: string): string {
  return `${name}\n${network(address)}`;
}

/** One IPv6 customer has a whole /64. */
function network(address: string): string {
  return isIPv6(address) && !address.startsWith('::ffff:') ? address.split(':').slice(0, 4).join(':') : address;
}
