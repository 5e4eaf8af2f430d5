import type { Server } from 'node:http';
import type { Socket } from 'node:net';

const AT_ONCE = 5_000;
/** A site behind one address has some dozens of screens. */
const PER_ADDRESS = 250;

/** Bounds connections, all together and by address: one that opens too many gets no more, the others go on. */
export function limitConnections(server: Server, isBehindProxy: boolean): void {
  server.maxConnections = AT_ONCE;
  // Behind a proxy all come from its address, and it is the proxy that counts.
  if (isBehindProxy) return;
  const open = new Map<string, number>();
  server.on('connection', (socket: Socket) => {
    const address = socket.remoteAddress ?? '';
    const count = (open.get(address) ?? 0) + 1;
    if (count > PER_ADDRESS) return void socket.destroy();
    open.set(address, count);
    socket.once('close', () => {
      const left = (open.get(address) ?? 1) - 1;
      if (left === 0) open.delete(address);
      else open.set(address, left);
    });
  });
}
