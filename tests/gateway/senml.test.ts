import { describe, expect, it } from 'vitest';
import { resolveSenml, type SenmlRecord } from '../../gateway/decode/resolve-senml.ts';
import { takeIn, type TakenIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

const resolve = (text: string): readonly SenmlRecord[] => {
  const resolved = resolveSenml(JSON.parse(text) as unknown);
  if ('ok' in resolved) throw new Error(resolved.detail);
  return resolved;
};
/** As the RFC writes resolved records. */
const written = (records: readonly SenmlRecord[]): unknown[] => records.map(({ name, unit, atSeconds, value }) => ({ n: name, ...(unit === null ? {} : { u: unit }), ...(atSeconds === null ? {} : { t: atSeconds }), v: value }));

describe('the examples of RFC 8428 §5.1 resolve to the published records', () => {
  it('§5.1.1, a single datapoint: the time is that of the receipt', () => {
    expect(resolve('[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]')).toEqual([{ name: 'urn:dev:ow:10e2073a01080063', unit: 'Cel', value: 23.1, atSeconds: null, afterReceipt: 0 }]);
  });

  it('§5.1.2, multiple datapoints, version 5, times below the base time', () => {
    const records = resolve(`[
      {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,"n":"voltage","u":"V","v":120.1},
      {"n":"current","t":-5,"v":1.2},{"n":"current","t":-4,"v":1.3},{"n":"current","t":-3,"v":1.4},
      {"n":"current","t":-2,"v":1.5},{"n":"current","t":-1,"v":1.6},{"n":"current","v":1.7}]`);
    const at = (t: number): unknown => expect.closeTo(t, 5);
    expect(written(records)).toEqual([
      { n: 'urn:dev:ow:10e2073a0108006:voltage', u: 'V', t: at(1276020076.001), v: 120.1 },
      { n: 'urn:dev:ow:10e2073a0108006:current', u: 'A', t: at(1276020071.001), v: 1.2 },
      { n: 'urn:dev:ow:10e2073a0108006:current', u: 'A', t: at(1276020072.001), v: 1.3 },
      { n: 'urn:dev:ow:10e2073a0108006:current', u: 'A', t: at(1276020073.001), v: 1.4 },
      { n: 'urn:dev:ow:10e2073a0108006:current', u: 'A', t: at(1276020074.001), v: 1.5 },
      { n: 'urn:dev:ow:10e2073a0108006:current', u: 'A', t: at(1276020075.001), v: 1.6 },
      { n: 'urn:dev:ow:10e2073a0108006:current', u: 'A', t: at(1276020076.001), v: 1.7 },
    ]);
  });

  it('§5.1.3 as resolved in §5.1.4, several units under one name', () => {
    const records = resolve(`[
      {"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":20},
      {"u":"lon","v":24.30621},{"u":"lat","v":60.07965},{"t":60,"v":20.3},{"u":"lon","t":60,"v":24.30622},{"u":"lat","t":60,"v":60.07965},
      {"t":120,"v":20.7},{"u":"lon","t":120,"v":24.30623},{"u":"lat","t":120,"v":60.07966},{"u":"%EL","t":150,"v":98},
      {"t":180,"v":21.2},{"u":"lon","t":180,"v":24.30628},{"u":"lat","t":180,"v":60.07967}]`);
    const n = 'urn:dev:ow:10e2073a01080063';
    expect(written(records)).toEqual([
      { n, u: '%RH', t: 1320067464, v: 20 },
      { n, u: 'lon', t: 1320067464, v: 24.30621 },
      { n, u: 'lat', t: 1320067464, v: 60.07965 },
      { n, u: '%RH', t: 1320067524, v: 20.3 },
      { n, u: 'lon', t: 1320067524, v: 24.30622 },
      { n, u: 'lat', t: 1320067524, v: 60.07965 },
      { n, u: '%RH', t: 1320067584, v: 20.7 },
      { n, u: 'lon', t: 1320067584, v: 24.30623 },
      { n, u: 'lat', t: 1320067584, v: 60.07966 },
      { n, u: '%EL', t: 1320067614, v: 98 },
      { n, u: '%RH', t: 1320067644, v: 21.2 },
      { n, u: 'lon', t: 1320067644, v: 24.30628 },
      { n, u: 'lat', t: 1320067644, v: 60.07967 },
    ]);
  });

  it('§5.1.5, other kinds of values', () => {
    const records = resolve('[{"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},{"n":"label","vs":"Machine Room"},{"n":"open","vb":false},{"n":"nfv-reader","vd":"aGkgCg"}]');
    expect(records.map(({ name, value }) => [name.split(':').at(-1), value])).toEqual([['temp', 23.1], ['label', 'Machine Room'], ['open', false], ['nfv-reader', undefined]]);
  });
});

describe('base fields', () => {
  it('hold from their record to the next that has the same one, each by itself', () => {
    const records = resolve('[{"bn":"a/","bt":1700000000,"bv":100,"bu":"Pa","n":"x","v":1},{"n":"y"},{"bn":"b/","n":"x","v":2},{"bv":0,"n":"y","v":3,"u":"K"}]');
    expect(written(records)).toEqual([
      { n: 'a/x', u: 'Pa', t: 1700000000, v: 101 },
      { n: 'a/y', u: 'Pa', t: 1700000000, v: 100 },
      { n: 'b/x', u: 'Pa', t: 1700000000, v: 102 },
      { n: 'b/y', u: 'K', t: 1700000000, v: 3 },
    ]);
  });

  it('make a time absolute from 2^28 on, the fourth of July 1978', () => {
    expect(resolve('[{"n":"x","v":1,"t":268435456}]')[0]).toMatchObject({ atSeconds: 268435456, afterReceipt: 0 });
    expect(resolve('[{"n":"x","v":1,"t":268435455}]')[0]).toMatchObject({ atSeconds: null, afterReceipt: 268435455 });
  });
});

describe('a pack that breaks the rules is refused as a whole', () => {
  it.each([
    ['no list', '{"n":"x","v":1}'],
    ['an empty list', '[]'],
    ['a record that is none', '[{"n":"x","v":1},3]'],
    ['a field that must be understood', '[{"n":"x","v":1,"hash_":"ab"}]'],
    ['a prototype', '[{"n":"x","v":1,"__proto__":{"u":"K"}}]'],
    ['a higher version', '[{"bver":11,"n":"x","v":1}]'],
    ['a version that is none', '[{"bver":1.5,"n":"x","v":1}]'],
    ['a name with a space', '[{"n":"blast hose","v":1}]'],
    ['a name that begins with a dot', '[{"n":".x","v":1}]'],
    ['no name at all', '[{"v":1}]'],
    ['a number in quotes', '[{"n":"x","v":"1"}]'],
    ['a base time in quotes', '[{"bt":"1700000000","n":"x","v":1}]'],
    ['an infinite number', '[{"n":"x","v":1e999}]'],
    ['two values in one record', '[{"n":"x","v":1,"vb":true}]'],
  ])('%s', (_name, text) => {
    expect(resolveSenml(JSON.parse(text) as unknown)).toMatchObject({ ok: false, reason: 'not-senml' });
  });

  it('but an unknown field and version 26, with secondary units, are not such', () => {
    expect(resolve('[{"bver":26,"n":"x","u":"hPa","v":1,"colour":"red"}]')).toHaveLength(1);
  });
});

describe('a point fed by SenML', () => {
  const NOW = 1_764_061_382_000;
  const topics = new TopicMap(
    testSite(`${SITE_YAML}    points:
      pot-pressure: { topic: packs, payload: senml, name: "rig-b:pot", unit: bar }
      remote-control: { topic: packs, payload: senml, name: "rig-b:handle" }
      separator-pressure: { topic: packs, payload: senml, name: "rig-b:loop", scale: 4-20mA, range: 0psi..200psi }
points:
  ambient-humidity: { topic: weather/senml, payload: senml, name: "urn:dev:ow:10e2073a01080063" }
`),
  );
  const take = (topic: string, payload: string, retained = false): TakenIn => takeIn(topics, { topic, payload: Buffer.from(payload), retained }, NOW);

  it('takes every value of its name and kind, in the order of time, and passes over the others', () => {
    const { readings, refusals } = take('weather/senml', '[{"bn":"urn:dev:ow:10e2073a01080063","bt":1764061200,"bu":"%RH","t":180,"v":21.2},{"u":"lon","v":24.3},{"v":20},{"u":"%EL","v":98}]');
    expect(readings).toMatchObject([
      { point: 'ambient-humidity', value: 20, observedAtMs: 1764061200000, backlog: true },
      { point: 'ambient-humidity', value: 21.2, observedAtMs: 1764061380000, backlog: false },
    ]);
    expect(refusals).toEqual([]);
  });

  it('takes times that count from the receipt', () => {
    expect(take('packs', '[{"n":"rig-b:pot","t":-2,"v":6.5},{"n":"rig-b:pot","v":7}]').readings).toMatchObject([{ observedAtMs: NOW - 2000, value: 94.3 }, { observedAtMs: NOW, value: 101.5 }]);
  });

  it('takes the unit of the pack before that of the configuration', () => {
    expect(take('packs', '[{"n":"rig-b:pot","u":"Pa","v":700000}]').readings).toMatchObject([{ value: 101.5 }]);
  });

  it('takes truth for a state only, and a current for a loop', () => {
    expect(take('packs', '[{"n":"rig-b:handle","vb":true}]').readings).toMatchObject([{ point: 'remote-control', value: 1 }]);
    expect(take('packs', '[{"n":"rig-b:pot","vb":true}]').refusals).toMatchObject([{ reason: 'not-a-number' }]);
    expect(take('packs', '[{"n":"rig-b:loop","u":"mA","v":12}]').readings).toMatchObject([{ value: 100 }]);
    expect(take('packs', '[{"n":"rig-b:loop","u":"Pa","v":12}]').refusals).toMatchObject([{ reason: 'wrong-unit' }]);
  });

  it('is not touched by the packs of other sensors on its topic', () => {
    expect(take('packs', '[{"n":"rig-c:pot","v":7}]')).toMatchObject({ readings: [], refusals: [{ reason: 'value-missing' }] });
  });

  it('is unknown where its pack can’t be used', () => {
    expect(take('packs', '[{"n":"rig-b:pot","vs":"high"}]')).toMatchObject({ readings: [{ point: 'pot-pressure', value: null, reason: 'undecodable' }], refusals: [{ reason: 'not-a-number' }] });
    expect(take('packs', '{"n":"rig-b:pot","v":7}').readings.map(({ reason }) => reason)).toEqual(['undecodable', 'undecodable', 'undecodable']);
  });

  it('does not take a retained pack whose times count from a receipt that nobody knows', () => {
    expect(take('packs', '[{"n":"rig-b:pot","t":-2,"v":6.5}]', true)).toMatchObject({ readings: [], refusals: [{ reason: 'retained-without-time' }] });
  });
});
