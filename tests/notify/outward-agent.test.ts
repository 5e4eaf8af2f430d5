import type { lookup } from 'node:dns';
import { expect, it } from 'vitest';
import { isInside, outwardLookup } from '../../server/notify/outward-agent.ts';

it.each(['127.0.0.1', '127.9.9.9', '10.0.0.1', '172.16.0.1', '172.31.255.255', '192.168.1.1', '169.254.169.254', '100.64.0.1', '0.0.0.0', '224.0.0.1', '255.255.255.255', '::1', '::', 'fe80::1', 'fc00::1', 'fd12::1', '::ffff:127.0.0.1', '::ffff:8.8.8.8', '64:ff9b::7f00:1', '2002:7f00:1::'])('%s is inside', (address) => expect(isInside(address)).toBe(true));
it.each(['8.8.8.8', '172.32.0.1', '11.0.0.1', '2606:4700::1', '2a00:1450::1'])('%s is outside', (address) => expect(isInside(address)).toBe(false));

const answering = (...addresses: string[]): typeof lookup => ((_host: string, _options: unknown, done: (error: null, found: unknown) => void) => done(null, addresses.map((address) => ({ address, family: address.includes(':') ? 6 : 4 })))) as unknown as typeof lookup;
const resolved = (resolve: typeof lookup, ownHosts: string[] = []): Promise<unknown> =>
  new Promise((settle) => outwardLookup(ownHosts, resolve)('push.example', { all: false }, (error, address) => settle(error ? error.message : address)));

it('a name that leads inside is refused, also where only one of its addresses does', async () => {
  expect(await resolved(answering('10.0.0.7'))).toBe('push.example leads to 10.0.0.7, inside our own network');
  expect(await resolved(answering('93.184.216.34', '127.0.0.1'))).toMatch(/inside our own network/);
});

it('connects to the very address that was judged, and to an own host inside', async () => {
  let asked = 0;
  const rebinding: typeof lookup = ((_host: string, _options: unknown, done: (error: null, found: unknown) => void) => done(null, [{ address: asked++ === 0 ? '93.184.216.34' : '127.0.0.1', family: 4 }])) as unknown as typeof lookup;
  expect([await resolved(rebinding), asked]).toEqual(['93.184.216.34', 1]);
  expect(await resolved(answering('10.0.0.7'), ['push.example'])).toBe('10.0.0.7');
});
