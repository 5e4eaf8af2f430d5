import { connect, createServer, type Socket } from 'node:net';
import { once } from 'node:events';
import { onTestFinished } from 'vitest';

/** What the line does with what comes in on either side. */
export type Weather =
  | { readonly kind: 'clear' }
  /** Each piece comes so much later, ms, in order. */
  | { readonly kind: 'slow'; readonly delayMs: number }
  /** At most so much each way, bytes a second. */
  | { readonly kind: 'thin'; readonly bytesPerSecond: number }
  /** The connection stands and nothing comes through; no end is told. `only` one way where said. */
  | { readonly kind: 'black-hole'; readonly only?: 'up' | 'down' };

export interface Proxy {
  readonly port: number;
  /** How many connections came in so far. */
  readonly connections: () => number;
  set(weather: Weather): void;
  /** Breaks what is connected: with a reset, or in good order. New connections are taken unless `refuse`. */
  cut(how: 'reset' | 'close'): void;
  /** Ends one direction only: the server hears the end, the client may still listen. */
  halfClose(): void;
  refuse(isRefusing: boolean): void;
  /** Resets each connection after so many bytes upwards; null for none. */
  cutAfter(bytes: number | null): void;
}

/** A line to a server on loopback that can be made to behave as lines do. Closed when the test ends. */
export async function startProxy(targetPort: () => number): Promise<Proxy> {
  let weather: Weather = { kind: 'clear' };
  let isRefusing = false;
  let limit: number | null = null;
  let count = 0;
  const pairs = new Set<readonly [Socket, Socket]>();

  const carry = (from: Socket, to: Socket, way: 'up' | 'down', onBytes: (n: number) => void): void => {
    let last = Promise.resolve();
    from.on('data', (chunk: Buffer) => {
      onBytes(chunk.byteLength);
      const now = weather;
      if (now.kind === 'black-hole' && (now.only === undefined || now.only === way)) return;
      if (now.kind === 'clear') {
        last = last.then(() => void (to.writable && to.write(chunk)));
        return;
      }
      from.pause();
      const waitMs = now.kind === 'slow' ? now.delayMs : now.kind === 'thin' ? (chunk.byteLength / now.bytesPerSecond) * 1000 : 0;
      // A delay is a longer line, not a narrower one: what follows does not wait for it.
      if (now.kind === 'slow') from.resume();
      const due = performance.now() + waitMs;
      last = last.then(() => new Promise((resolve) => setTimeout(resolve, Math.max(0, due - performance.now())))).then(() => {
        if (to.writable) to.write(chunk);
        if (now.kind === 'thin') from.resume();
      });
    });
    from.on('end', () => void last.then(() => to.end()));
    from.on('error', () => to.destroy());
    from.on('close', () => void last.then(() => to.destroy()));
  };

  const server = createServer({ allowHalfOpen: true }, (near) => {
    if (isRefusing) return void near.resetAndDestroy();
    count += 1;
    const far = connect({ port: targetPort(), host: '127.0.0.1', allowHalfOpen: true });
    const pair = [near, far] as const;
    pairs.add(pair);
    near.on('close', () => pairs.delete(pair));
    let up = 0;
    carry(near, far, 'up', (bytes) => {
      up += bytes;
      if (limit !== null && up > limit) for (const end of pair) end.resetAndDestroy();
    });
    carry(far, near, 'down', () => undefined);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  onTestFinished(() => {
    server.close();
    for (const pair of pairs) for (const end of pair) end.destroy();
  });
  return {
    port: typeof address === 'object' && address ? address.port : 0,
    connections: () => count,
    set: (next) => (weather = next),
    cut: (how) => {
      for (const pair of pairs) for (const end of pair) if (how === 'reset') end.resetAndDestroy(); else end.end();
    },
    halfClose: () => {
      for (const [, far] of pairs) far.end();
    },
    refuse: (now) => (isRefusing = now),
    cutAfter: (bytes) => (limit = bytes),
  };
}
