import { type AddressInfo, type Socket, connect, createServer } from 'node:net';

/** A wire between browser and server that can be cut, or go dead while both ends believe in it. */
export interface Wire {
  readonly url: string;
  /** Breaks every connection and refuses new ones. */
  cut(): void;
  /** Nothing gets through any more, and nobody is told. What is sent waits on the way. */
  stall(): void;
  mend(): void;
  close(): Promise<void>;
}

export async function strungTo(target: string): Promise<Wire> {
  const { hostname, port } = new URL(target);
  const sockets = new Set<Socket>();
  let state: 'whole' | 'cut' | 'stalled' = 'whole';
  const server = createServer((near) => {
    if (state === 'cut') return near.destroy();
    const far = connect(Number(port), hostname);
    for (const [from, to] of [[near, far], [far, near]] as const) {
      sockets.add(from);
      from.pipe(to);
      from.on('error', () => to.destroy());
      from.on('close', () => {
        sockets.delete(from);
        to.destroy();
      });
      if (state === 'stalled') from.pause();
    }
    return near;
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    cut() {
      state = 'cut';
      for (const socket of sockets) socket.destroy();
    },
    stall() {
      state = 'stalled';
      for (const socket of sockets) socket.pause();
    },
    mend() {
      state = 'whole';
      for (const socket of sockets) socket.resume();
    },
    close: () => new Promise((resolve) => {
      for (const socket of sockets) socket.destroy();
      server.close(() => resolve());
    }),
  };
}
