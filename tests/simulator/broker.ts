import { once } from 'node:events';
import { type AddressInfo, createServer } from 'node:net';
import { Aedes } from 'aedes';

/** A broker of the tests' own, on a free port of the loopback. */
export interface TestBroker {
  readonly url: string;
  readonly received: { topic: string; payload: string; client: string }[];
  /** Cuts every connection that is open now. */
  cut(): void;
  close(): Promise<void>;
}

export async function openTestBroker(port = 0): Promise<TestBroker> {
  const aedes = await Aedes.createBroker();
  const received: TestBroker['received'] = [];
  const sockets = new Set<{ destroy(): void }>();
  aedes.on('publish', (packet, client) => {
    if (client) received.push({ topic: packet.topic, payload: packet.payload.toString(), client: client.id });
  });
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    aedes.handle(socket);
  });
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    received,
    cut: () => sockets.forEach((socket) => socket.destroy()),
    async close() {
      await new Promise<void>((resolve) => aedes.close(() => resolve()));
      sockets.forEach((socket) => socket.destroy());
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}
