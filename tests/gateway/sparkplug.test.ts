import { beforeEach, describe, expect, it } from 'vitest';
import { IntakeMemory } from '../../gateway/intake-memory.ts';
import { takeIn, type TakenIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { decode, encode, TYPE } from './support/foreign-encoder.ts';

const T0 = 1_764_061_200_000;
const topics = new TopicMap(
  testSite(`${SITE_YAML}    points:
      pot-pressure: { topic: line/edge-1, payload: sparkplug, metric: pot/pressure, unit: kPa }
      remote-control: { topic: line/edge-1, payload: sparkplug, metric: handle }
      breathing-air-co: { topic: line/edge-1/panel, payload: sparkplug, name: co, scale: 4-20mA, range: 0ppm..100ppm }
`),
);

let memory: IntakeMemory;
let now: number;
beforeEach(() => {
  memory = new IntakeMemory();
  now = T0;
});

function send(type: string, payload: Parameters<typeof encode>[0] | Uint8Array, device = '', rest: { retained?: boolean; node?: string } = {}): TakenIn {
  now += 1000;
  const topic = `spBv1.0/line/${type}/${rest.node ?? 'edge-1'}${device === '' ? '' : `/${device}`}`;
  const taken = takeIn(topics, { topic, payload: payload instanceof Uint8Array ? payload : encode(payload), retained: rest.retained ?? false }, now, memory);
  memory.seen.add(taken.readings);
  return taken;
}
const nodeBirth = (seq = 0, bdSeq = 0, rest: Record<string, unknown>[] = []): TakenIn =>
  send('NBIRTH', {
    timestamp: now,
    seq,
    metrics: [
      { name: 'bdSeq', timestamp: now, datatype: TYPE.Int64, long_value: bdSeq },
      { name: 'Node Control/Rebirth', timestamp: now, datatype: TYPE.Boolean, boolean_value: false },
      { name: 'pot/pressure', alias: 7, timestamp: now, datatype: TYPE.Double, double_value: 700 },
      { name: 'handle', alias: 8, timestamp: now, datatype: TYPE.Boolean, boolean_value: true },
      ...rest,
    ],
  });
const panelBirth = (seq: number): TakenIn => send('DBIRTH', { timestamp: now, seq, metrics: [{ name: 'co', alias: 9, timestamp: now, datatype: TYPE.Float, float_value: 4.5 }] }, 'panel');
const pot = (seq: number, value: number, rest: Record<string, unknown> = {}): TakenIn => send('NDATA', { timestamp: now, seq, metrics: [{ alias: 7, timestamp: now, double_value: value, ...rest }] });

describe('a foreign encoder’s messages', () => {
  it('are read: births by name, data by alias and without a type', () => {
    expect(nodeBirth().readings).toMatchObject([{ point: 'pot-pressure', value: 101.5, quality: 'good', observedAtMs: T0 }, { point: 'remote-control', value: 1 }]);
    expect(panelBirth(1).readings).toMatchObject([{ point: 'breathing-air-co', value: 3.1, quality: 'good' }]);
    expect(pot(2, 689.4757).readings).toMatchObject([{ value: 100, observedAtMs: now - 1000 }]);
    expect(send('DDATA', { seq: 3, metrics: [{ alias: 9, timestamp: now, float_value: 12 }] }, 'panel').readings).toMatchObject([{ value: 50 }]);
    expect(send('NDATA', { seq: 4, metrics: [{ alias: 8, timestamp: now, boolean_value: false }] }).readings).toMatchObject([{ point: 'remote-control', value: 0 }]);
  });

  it.each<[string, Record<string, unknown>, number]>([
    ['Int8', { datatype: TYPE.Int8, int_value: 0xff }, -0.1],
    ['Int16', { datatype: TYPE.Int16, int_value: 0xfffe }, -0.3],
    ['Int32', { datatype: TYPE.Int32, int_value: 0xfffffff6 }, -1.5],
    ['Int64', { datatype: TYPE.Int64, long_value: '18446744073709551606' }, -1.5],
    ['UInt32 in the long field', { datatype: TYPE.UInt32, long_value: 700 }, 101.5],
    ['UInt32 in the int field', { datatype: TYPE.UInt32, int_value: 700 }, 101.5],
    ['UInt64', { datatype: TYPE.UInt64, long_value: '4000000000' }, 580150951],
    ['Float', { datatype: TYPE.Float, float_value: 700.5 }, 101.6],
  ])('have every type of number: %s', (_name, fields, psi) => {
    const { readings } = send('NBIRTH', { seq: 0, metrics: [{ name: 'pot/pressure', timestamp: now, ...fields }, { name: 'handle', timestamp: now, datatype: TYPE.Boolean, boolean_value: true }] });
    expect(readings[0]?.value).toBeCloseTo(psi, psi > 1e6 ? -1 : 5);
  });

  it('make a point unknown where they hold no number, or none for a metric that a birth must announce', () => {
    nodeBirth();
    expect(pot(1, 0, { is_null: true })).toMatchObject({ readings: [{ value: null, reason: 'undecodable' }], refusals: [{ reason: 'value-missing' }] });
    expect(send('NDATA', { seq: 2, metrics: [{ name: 'pot/pressure', timestamp: now, datatype: TYPE.String, string_value: '700' }] }).refusals).toMatchObject([{ reason: 'not-a-number' }]);
    expect(send('NDATA', { seq: 3, metrics: [{ name: 'pot/pressure', timestamp: now, datatype: TYPE.Boolean, boolean_value: true }] }).refusals).toMatchObject([{ reason: 'not-a-number' }]);
    expect(pot(4, Number.NaN).refusals).toMatchObject([{ reason: 'not-finite' }]);
    expect(send('NBIRTH', { seq: 0, metrics: [{ name: 'handle', timestamp: now, datatype: TYPE.Boolean, boolean_value: true }] }).refusals).toMatchObject([{ reason: 'value-missing' }]);
  });

  it('are history where they say so, and bad where the sensor says so', () => {
    nodeBirth();
    expect(pot(1, 650, { is_historical: true }).readings).toMatchObject([{ backlog: true }]);
    const quality = (value: number): Record<string, unknown> => ({ properties: { keys: ['__proto__', 'Quality'], values: [{ type: 3, int_value: 1 }, { type: 3, int_value: value }] } });
    expect(pot(2, 650, quality(192)).readings).toMatchObject([{ quality: 'good' }]);
    expect(pot(3, 650, quality(0)).readings).toMatchObject([{ value: null, quality: 'bad', reason: 'reported-bad' }]);
    expect(pot(4, 650, quality(500)).readings).toMatchObject([{ value: null, quality: 'bad', reason: 'stale' }]);
  });
});

describe('the sequence', () => {
  it('goes from 255 to 0 without a gap, over the node and all its devices', () => {
    nodeBirth(254);
    panelBirth(255);
    expect(pot(0, 690)).toMatchObject({ commands: [], readings: [{ quality: 'good' }] });
    // A device that feeds no point counts too.
    expect(send('DDATA', { seq: 1, metrics: [] }, 'other')).toMatchObject({ commands: [], readings: [], refusals: [] });
    expect(pot(2, 690).readings).toMatchObject([{ quality: 'good' }]);
  });

  it('with a gap makes values uncertain and asks for a birth, until it comes', () => {
    nodeBirth();
    expect(pot(1, 690)).toMatchObject({ commands: [], readings: [{ quality: 'good' }] });
    const after = pot(3, 691);
    expect(after.readings).toMatchObject([{ value: 100.2, quality: 'uncertain', reason: 'sequence-gap' }]);
    expect(after.commands.map(({ topic }) => topic)).toEqual(['spBv1.0/line/NCMD/edge-1']);
    expect(decode(after.commands[0]?.payload ?? new Uint8Array())).toMatchObject({ timestamp: now, metrics: [{ name: 'Node Control/Rebirth', datatype: TYPE.Boolean, boolean_value: true }] });
    // Not at every message, but again when nothing came of it.
    expect(pot(4, 692)).toMatchObject({ commands: [], readings: [{ reason: 'sequence-gap' }] });
    now += 10_000;
    expect(pot(5, 693).commands).toHaveLength(1);
    nodeBirth();
    expect(pot(1, 694)).toMatchObject({ commands: [], readings: [{ quality: 'good' }] });
  });

  it('is not broken by a message that came twice, which changes nothing', () => {
    nodeBirth();
    const at = now;
    const twice = encode({ seq: 1, metrics: [{ alias: 7, timestamp: at, double_value: 690 }] });
    expect(send('NDATA', twice).readings).toHaveLength(1);
    expect(send('NDATA', twice)).toMatchObject({ readings: [], refusals: [], commands: [] });
    expect(pot(2, 690).readings).toMatchObject([{ quality: 'good' }]);
  });

  it('takes a birth’s own number, whatever it is', () => {
    expect(nodeBirth(17).commands).toEqual([]);
    expect(pot(18, 690).readings).toMatchObject([{ quality: 'good' }]);
  });
});

describe('before the birth', () => {
  it('data can’t be read: their points are unknown, and the birth is asked for', () => {
    const taken = pot(7, 690);
    expect(taken.readings).toMatchObject([{ point: 'pot-pressure', value: null, reason: 'node-offline' }, { point: 'remote-control', value: null, reason: 'node-offline' }]);
    expect(taken.refusals).toMatchObject([{ reason: 'not-born' }]);
    expect(taken.commands).toHaveLength(1);
  });

  it('of a device, after that of its node, it is the same', () => {
    nodeBirth();
    expect(send('DDATA', { seq: 1, metrics: [{ alias: 9, float_value: 12 }] }, 'panel')).toMatchObject({ readings: [{ point: 'breathing-air-co', reason: 'node-offline' }], commands: [{ topic: 'spBv1.0/line/NCMD/edge-1' }] });
  });

  it('a lost connection makes every node uncertain and asks it', () => {
    nodeBirth();
    expect(memory.resume(topics.sparkplugNodes(), now).map(({ topic }) => topic)).toEqual(['spBv1.0/line/NCMD/edge-1']);
    expect(pot(1, 690).readings).toMatchObject([{ quality: 'uncertain', reason: 'sequence-gap' }]);
  });
});

describe('a death', () => {
  const death = (bdSeq: number): TakenIn => send('NDEATH', { timestamp: now, metrics: [{ name: 'bdSeq', timestamp: now, datatype: TYPE.Int64, long_value: bdSeq }] });

  it('of the node makes all its points unknown, its devices’ too, until the next birth', () => {
    nodeBirth(0, 3);
    panelBirth(1);
    expect(death(3).readings).toMatchObject(['pot-pressure', 'remote-control', 'breathing-air-co'].map((point) => ({ point, value: null, quality: 'bad', reason: 'node-offline' })));
    expect(pot(2, 690).readings).toMatchObject([{ value: null }, { value: null }]);
    expect(nodeBirth(0, 4).readings).toMatchObject([{ value: 101.5, quality: 'good' }, { value: 1 }]);
  });

  it('of an earlier session is nothing', () => {
    nodeBirth(0, 255);
    nodeBirth(0, 0);
    expect(death(255)).toMatchObject({ readings: [], refusals: [] });
    expect(pot(1, 690).readings).toMatchObject([{ quality: 'good' }]);
  });

  it('is followed by the value of before, though its time is the same', () => {
    const unchanged = encode({ seq: 0, metrics: [{ name: 'pot/pressure', timestamp: T0, datatype: TYPE.Double, double_value: 700 }, { name: 'handle', timestamp: T0, datatype: TYPE.Boolean, boolean_value: true }] });
    expect(send('NBIRTH', unchanged).readings).toHaveLength(2);
    expect(send('NBIRTH', unchanged).readings).toHaveLength(0);
    death(0);
    expect(send('NBIRTH', unchanged).readings).toMatchObject([{ value: 101.5 }, { value: 1 }]);
  });

  it('of a device makes its points unknown, no others', () => {
    nodeBirth();
    panelBirth(1);
    expect(send('DDEATH', { seq: 2, timestamp: now }, 'panel').readings).toMatchObject([{ point: 'breathing-air-co', value: null, reason: 'node-offline' }]);
    expect(pot(3, 690).readings).toMatchObject([{ quality: 'good' }]);
  });
});

describe('what is no Sparkplug', () => {
  const nested = (levels: number): Record<string, unknown> => (levels === 0 ? { name: 'x' } : { name: 'x', template_value: { metrics: [nested(levels - 1)] } });

  it.each<[string, Uint8Array, string]>([
    ['text', Buffer.from('12.5'), 'not-sparkplug'],
    ['a cut message', encode({ seq: 0, metrics: [{ name: 'pot/pressure', double_value: 1 }] }).slice(0, -3), 'not-sparkplug'],
    ['no number', encode({ timestamp: T0, metrics: [] }), 'not-sparkplug'],
    ['a number beyond 255', encode({ seq: 256, metrics: [] }), 'not-sparkplug'],
    ['groups without end', new Uint8Array(60_000).fill(0x7b), 'not-sparkplug'],
    ['templates in templates', encode({ seq: 0, metrics: [nested(40)] }), 'too-deep'],
    ['too many bytes', new Uint8Array(65 * 1024), 'too-large'],
    ['thirty thousand empty metrics', new Uint8Array(60_000).map((_, at) => (at % 2 === 0 ? 0x12 : 0)), 'too-large'],
  ])('%s', (_name, bytes, reason) => {
    const { readings, refusals, commands } = send('NBIRTH', bytes);
    expect(refusals.map((refusal) => refusal.reason)).toEqual([reason, reason]);
    expect(readings).toMatchObject([{ value: null, reason: 'undecodable' }, { value: null, reason: 'undecodable' }]);
    expect(commands).toEqual([]);
    // Found out before the decoder ran out of stack.
    expect(refusals[0]?.detail).not.toMatch(/stack/i);
  });

  it('a kept message changes nothing', () => {
    expect(send('NBIRTH', { seq: 0, metrics: [] }, '', { retained: true })).toMatchObject({ readings: [], refusals: [{ reason: 'not-sparkplug' }] });
    expect(pot(1, 690).refusals).toMatchObject([{ reason: 'not-born' }]);
  });

  it('commands of other hosts are passed by, other nodes are unknown', () => {
    expect(send('NCMD', { metrics: [] })).toMatchObject({ readings: [], refusals: [] });
    expect(send('NDATA', { seq: 0 }, '', { node: 'edge-2' }).refusals).toMatchObject([{ reason: 'unknown-topic' }]);
  });

  it('nothing reaches the prototype of objects', () => {
    nodeBirth(0, 0, [{ name: '__proto__', alias: 99, datatype: TYPE.Double, double_value: 1, properties: { keys: ['__proto__', 'constructor'], values: [{ type: 12, string_value: 'x' }, { type: 12, string_value: 'y' }] } }]);
    expect(({} as Record<string, unknown>)['value']).toBeUndefined();
    expect(Object.keys(Object.prototype)).toEqual([]);
  });
});

it('subscribes to an edge node’s own messages and its devices’, not to commands', () => {
  expect(topics.filters().filter((filter) => filter.startsWith('spBv1.0'))).toEqual(['spBv1.0/line/NBIRTH/edge-1', 'spBv1.0/line/NDATA/edge-1', 'spBv1.0/line/NDEATH/edge-1', 'spBv1.0/line/DBIRTH/edge-1/+', 'spBv1.0/line/DDATA/edge-1/+', 'spBv1.0/line/DDEATH/edge-1/+']);
});
