import { createServer } from 'node:net';
import { Aedes } from 'aedes';
import Database from 'libsql';
import mqtt from 'mqtt';

/**
 * The floor of taking in: the shortest honest program from a message to the disk. Embedded broker, or a client of another one; a number
 * or a pack of them; SQLite with `synchronous=FULL`, what came in during one commit goes into the next; only after it the acknowledgement.
 * Prints its address, then how many readings are on the disk.
 */
const [, , file = ':memory:', brokerUrl] = process.argv;
const database = new Database(file);
database.pragma('journal_mode = WAL');
database.pragma('synchronous = FULL');
database.exec('CREATE TABLE reading (name TEXT, at INTEGER, value REAL)');
const insert = database.prepare('INSERT INTO reading VALUES (?, ?, ?)');

interface Waiting {
  readonly readings: readonly { readonly n: string; readonly v: number }[];
  readonly done: () => void;
}
let waiting: Waiting[] = [];
let isScheduled = false;
let kept = 0;
const commit = database.transaction((group: readonly Waiting[]) => {
  const at = Date.now();
  for (const { readings } of group) for (const { n, v } of readings) insert.run(n, at, v);
});

function take(topic: string, payload: Buffer | string, done: () => void): void {
  const text = payload.toString();
  waiting.push({ readings: text.startsWith('[') ? (JSON.parse(text) as { n: string; v: number }[]) : [{ n: topic, v: Number(text) }], done });
  if (isScheduled) return;
  isScheduled = true;
  setImmediate(() => {
    isScheduled = false;
    const group = waiting;
    waiting = [];
    commit(group);
    for (const one of group) {
      kept += one.readings.length;
      one.done();
    }
  });
}

setInterval(() => process.stdout.write(`${kept}\n`), 50);

if (brokerUrl === undefined) {
  const broker = await Aedes.createBroker({ authorizePublish: (_client, packet, done) => take(packet.topic, packet.payload, () => done(null)) });
  const server = createServer(broker.handle).listen(0, '127.0.0.1', () => process.stdout.write(`${JSON.stringify({ mqtt: `mqtt://127.0.0.1:${(server.address() as { port: number }).port}` })}\n`));
} else {
  const client = mqtt.connect(brokerUrl, { manualConnect: true });
  // The client hands the next message over once this one is done with: it is told so at once, and acknowledged by hand (MQTT 3.1.1 §3.4).
  client.handleMessage = ({ topic, payload, messageId = 0 }, done) => {
    take(topic, payload, () => client.stream.write(Buffer.from([0x40, 2, messageId >> 8, messageId & 0xff])));
    done(new Error('acknowledged later'));
  };
  client.on('connect', () => client.subscribe(['potside/#', 'pack'], { qos: 1 }, () => process.stdout.write(`${JSON.stringify({ mqtt: brokerUrl })}\n`)));
  client.connect();
}
