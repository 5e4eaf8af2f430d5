import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { IntakeMemory } from '../../gateway/intake-memory.ts';
import { SEEN_READINGS } from '../../gateway/seen-readings.ts';
import { takeIn, type Message, type TakenIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

const topics = new TopicMap(testSite());
const NOW = 1_764_061_260_000;
const CO = 'potside/pier-9/rig-a/breathing-air-co';

function take(topic: string, payload: string | Uint8Array, retained = false): TakenIn {
  return takeIn(topics, { topic, payload: typeof payload === 'string' ? Buffer.from(payload) : payload, retained }, NOW);
}

describe('a default topic', () => {
  it('takes a bare number in the default unit', () => {
    expect(take(CO, '12.5').readings).toEqual([{ owner: 'rig-a', point: 'breathing-air-co', observedAtMs: NOW, receivedAtMs: NOW, value: 12.5, quality: 'good', reason: null, backlog: false }]);
  });

  it('takes value, unit and time, and converts', () => {
    const { readings } = take('potside/pier-9/rig-a/supply-pressure', '{"v": 6.894757293168, "u": "bar", "t": 1764061200.125}');
    // 100 psi = 6.894757293 bar, from the definition of the pound and the inch (NIST SP 811).
    expect(readings[0]).toMatchObject({ value: 100, observedAtMs: 1_764_061_200_125, quality: 'good' });
  });

  it('knows the site’s and the compressor’s points, and each only where it belongs', () => {
    expect(take('potside/pier-9/pier-9/ambient-humidity', '71').readings).toHaveLength(1);
    expect(take('potside/pier-9/comp-1/compressor-pressure', '110').readings).toHaveLength(1);
    expect(take('potside/pier-9/rig-a/ambient-humidity', '71').refusals[0]?.reason).toBe('unknown-topic');
    expect(take('potside/pier-9/rig-a/line-loss', '7').refusals[0]?.reason).toBe('unknown-topic');
  });
});

describe('a mapped topic', () => {
  it('takes value and time by JSON Pointer', () => {
    expect(take('line/pt-101', '{"pressure": 104.26, "ts": 1764061259}').readings[0]).toMatchObject({ point: 'supply-pressure', value: 104.3, observedAtMs: 1_764_061_259_000 });
  });
});

describe('nonsense is named, set aside, and makes the point unknown', () => {
  it.each<[string, string | Uint8Array, string]>([
    ['NaN', 'NaN', 'not-a-number'],
    ['an infinite number', '1e999', 'not-finite'],
    ['a number too large in the point’s unit', '{"v":1e305,"u":"1"}', 'not-finite'],
    ['an infinite number in JSON', '{"v":1e999}', 'not-finite'],
    ['a number in quotes', '"40"', 'not-a-number'],
    ['a number in quotes in JSON', '{"v":"40"}', 'not-a-number'],
    ['null', '{"v":null}', 'not-a-number'],
    ['true', '{"v":true}', 'not-a-number'],
    ['an empty message', '', 'value-missing'],
    ['no value', '{"value":3}', 'value-missing'],
    ['a prototype', '{"__proto__":{"v":3}}', 'value-missing'],
    ['broken JSON', '{"v":', 'not-json'],
    ['another unit', '{"v":1,"u":"bar"}', 'wrong-unit'],
    ['a made-up unit', '{"v":1,"u":"psig"}', 'wrong-unit'],
    ['a unit that is no text', '{"v":1,"u":5}', 'wrong-unit'],
    ['a time that is no number', '{"v":1,"t":"now"}', 'time-unreadable'],
    ['deep nesting', `{"v":${'['.repeat(100_000)}`, 'too-large'],
    ['nesting', `{"v":${'['.repeat(20)}1${']'.repeat(20)}}`, 'too-deep'],
    ['binary', Uint8Array.from([0xff, 0xfe, 0x00, 0x80]), 'not-text'],
    ['a megabyte', new Uint8Array(1_000_000), 'too-large'],
  ])('%s', (_name, payload, reason) => {
    const { readings, refusals } = take(CO, payload);
    expect(refusals.map((refusal) => refusal.reason)).toEqual([reason]);
    expect(refusals[0]?.detail).not.toBe('');
    expect(readings).toMatchObject([{ point: 'breathing-air-co', value: null, quality: 'bad', reason: 'undecodable' }]);
  });

  it('an unknown topic makes no reading', () => {
    expect(take('foo/bar', '1')).toMatchObject({ readings: [], refusals: [{ reason: 'unknown-topic', topic: 'foo/bar' }] });
  });

  it('never throws and never lets a value through that is not finite, whatever the bytes', () => {
    const bytes = fc.oneof(fc.uint8Array({ maxLength: 200 }), fc.json().map((text) => Buffer.from(text)), fc.string().map((text) => Buffer.from(`{"v":${text}}`)));
    fc.assert(
      fc.property(bytes, (payload) => {
        for (const { value, quality } of take(CO, payload).readings) {
          expect(value === null || Number.isFinite(value)).toBe(true);
          if (value === null) expect(quality).toBe('bad');
        }
      }),
      { numRuns: 2_000 },
    );
  });
});

describe('values that can’t be true', () => {
  it('keep their number, marked out of range', () => {
    expect(take(CO, '5000').readings[0]).toMatchObject({ value: 5000, quality: 'bad', reason: 'out-of-range' });
    expect(take('potside/pier-9/pier-9/ambient-humidity', '140').readings[0]).toMatchObject({ quality: 'bad', reason: 'out-of-range' });
  });
});

describe('time', () => {
  it('from the future or from before the battery died is put aside, the value kept', () => {
    for (const t of [NOW / 1000 + 600, 12]) expect(take(CO, `{"v":3,"t":${t}}`).readings[0]).toMatchObject({ value: 3, quality: 'uncertain', reason: 'clock-suspect', observedAtMs: NOW });
  });
});

describe('a message that comes twice', () => {
  const at = (seconds: number, value: number): Message => ({ topic: CO, payload: Buffer.from(`{"v":${value},"t":${NOW / 1000 - seconds}}`), retained: false });

  it('is taken once where it has a time of its own', () => {
    const memory = new IntakeMemory();
    const hear = (message: Message): number => {
      const { readings } = takeIn(topics, message, NOW, memory);
      memory.seen.add(readings);
      return readings.length;
    };
    expect(hear(at(9, 3))).toBe(1);
    expect(hear(at(8, 3))).toBe(1);
    expect(hear(at(9, 3))).toBe(0);
    // A clock of whole seconds, two readings in one.
    expect(hear(at(9, 4))).toBe(1);
    const plain: Message = { topic: CO, payload: Buffer.from('3'), retained: false };
    expect([hear(plain), hear(plain)]).toEqual([1, 1]);
  });

  it('is taken again while the first is not on the disk', () => {
    const memory = new IntakeMemory();
    expect(takeIn(topics, at(9, 3), NOW, memory).readings).toHaveLength(1);
    expect(takeIn(topics, at(9, 3), NOW, memory).readings).toHaveLength(1);
  });

  it('is remembered for as many readings as a broker may send again, no more', () => {
    const memory = new IntakeMemory();
    const wasHeard = (second: number): boolean => takeIn(topics, at(second, 3), NOW, memory).readings.length === 0;
    const [first] = takeIn(topics, at(0, 3), NOW, memory).readings;
    if (!first) throw new Error('not taken in');
    for (let second = 1; second <= SEEN_READINGS + 1; second += 1) memory.seen.add([{ ...first, observedAtMs: first.observedAtMs - second * 1000 }]);
    expect([1, 2, 1_025].map(wasHeard)).toEqual([false, true, true]);
  });

  it('from a stopped clock is never a repeat: the sensor lives', () => {
    const memory = new IntakeMemory();
    for (const now of [NOW, NOW + 1000]) {
      const { readings } = takeIn(topics, { topic: CO, payload: Buffer.from('{"v":3,"t":12}'), retained: false }, now, memory);
      expect(readings).toHaveLength(1);
      memory.seen.add(readings);
    }
  });
});

describe('a retained message', () => {
  it('is refused without a time of its own, and does not make the point unknown', () => {
    expect(take(CO, '3', true)).toMatchObject({ readings: [], refusals: [{ reason: 'retained-without-time' }] });
  });

  it('with an old time is history', () => {
    expect(take(CO, `{"v":3,"t":${NOW / 1000 - 3600}}`, true).readings[0]).toMatchObject({ backlog: true });
    expect(take(CO, `{"v":3,"t":${NOW / 1000 - 1}}`, true).readings[0]).toMatchObject({ backlog: false });
  });
});

describe('a device that says it is gone', () => {
  const own = new TopicMap(testSite(SITE_YAML.replace('every: 1s }', 'every: 1s, status: { topic: line/pt-101/state, gone: away } }')));
  const say = (payload: string, retained = false) => takeIn(own, { topic: 'line/pt-101/state', payload: Buffer.from(payload), retained }, NOW);

  it.each([false, true])('by its Last Will takes its value away, kept by the broker or not (%s); any other word is no trouble', (retained) => {
    expect(say('away', retained)).toMatchObject({ readings: [{ owner: 'rig-a', point: 'supply-pressure', value: null, quality: 'bad', reason: 'node-offline', backlog: false }], refusals: [] });
    expect(say('here', retained)).toMatchObject({ readings: [], refusals: [] });
    expect(say('x'.repeat(100_000), retained)).toMatchObject({ readings: [], refusals: [] });
  });

  it('is subscribed to, once', () => {
    expect(own.filters().filter((filter) => filter === 'line/pt-101/state')).toHaveLength(1);
  });
});
