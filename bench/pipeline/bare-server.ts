import { createServer as createHttpServer } from 'node:http';
import { createServer } from 'node:net';
import { Aedes } from 'aedes';
import Database from 'libsql';
import { Server } from 'socket.io';

/**
 * The floor: the shortest honest program from a reading to a page. Embedded broker, a number, one limit, SQLite with
 * `synchronous=FULL` every 50 ms, and only after the commit the acknowledgement and the alarm. Prints its ports.
 */
const database = new Database(process.argv[2] ?? ':memory:');
database.pragma('journal_mode = WAL');
database.pragma('synchronous = FULL');
database.exec('CREATE TABLE reading (topic TEXT, at INTEGER, value REAL)');
const insert = database.prepare('INSERT INTO reading VALUES (?, ?, ?)');

const http = createHttpServer();
const io = new Server(http, { transports: ['websocket'] });
let waiting: { topic: string; value: number; done: (error?: Error | null) => void }[] = [];
const commit = database.transaction((group: typeof waiting) => {
  const at = Date.now();
  for (const { topic, value } of group) insert.run(topic, at, value);
});
setInterval(() => {
  const group = waiting;
  waiting = [];
  if (group.length === 0) return;
  commit(group);
  for (const { topic, value, done } of group) {
    done(null);
    if (topic.endsWith('co') && value >= 10) io.emit('alarms', { topic, value });
  }
}, 50);

const broker = await Aedes.createBroker({
  authorizePublish: (_client, packet, done) => {
    const value = Number(packet.payload.toString());
    if (Number.isFinite(value)) waiting.push({ topic: packet.topic, value, done });
    else done(null);
  },
});
const mqtt = createServer(broker.handle).listen(0, '127.0.0.1', () =>
  http.listen(0, '127.0.0.1', () => {
    const port = (server: { address(): unknown }): number => (server.address() as { port: number }).port;
    process.stdout.write(`${JSON.stringify({ url: `http://127.0.0.1:${port(http)}`, mqtt: `mqtt://127.0.0.1:${port(mqtt)}` })}\n`);
  }),
);
