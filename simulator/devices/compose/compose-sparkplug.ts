import codec from 'sparkplug-payload/lib/sparkplugPayloadProto.js';

const Payload = codec.org.eclipse.tahu.protobuf.Payload;
const DOUBLE = 10;
const INT64 = 4;
/** Sequence numbers count to 255 and begin anew (Sparkplug 3.0 §6.4.5). */
const SEQUENCE = 256;
/** A node that takes no commands says its birth again this often, in messages: who begins to listen later need not ask. */
const BIRTH_EVERY = 60;

/** What an edge node remembers between its messages. */
export interface NodeMemory {
  sent: number;
}

export interface Metric {
  readonly name: string;
  readonly value: number;
}

/** The next message of an edge node: its birth at first and every minute or so, data in between. Topic without `spBv1.0/`. */
export function composeSparkplug(topic: string, metrics: readonly Metric[], atMs: number, memory: NodeMemory): { topic: string; bytes: Uint8Array } {
  const [group = '', node = ''] = topic.split('/');
  const isBirth = memory.sent % BIRTH_EVERY === 0;
  const seq = (memory.sent % BIRTH_EVERY) % SEQUENCE;
  memory.sent += 1;
  const said = metrics.map(({ name, value }) => ({ name, timestamp: atMs, datatype: DOUBLE, doubleValue: value }));
  const born = isBirth ? [{ name: 'bdSeq', timestamp: atMs, datatype: INT64, longValue: 0 }, ...said] : said;
  return { topic: `spBv1.0/${group}/${isBirth ? 'NBIRTH' : 'NDATA'}/${node}`, bytes: Payload.encode({ timestamp: atMs, seq, metrics: born }).finish() };
}
