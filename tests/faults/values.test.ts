import { describe, expect, it } from 'vitest';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { FoldedSite } from '../support/folded-site.ts';
import { NOW } from '../support/server.ts';
import { reading, SITE_YAML, testSite } from '../support/site.ts';

const CO = 'potside/pier-9/rig-a/breathing-air-co';
const topics = new TopicMap(testSite());
const take = (payload: string, retained = false, topic = CO) => takeIn(topics, { topic, payload: Buffer.from(payload), retained }, NOW);

describe('#40 values that are none', () => {
  // Each as a bare payload and as JSON, where there is such a thing.
  const NONE = ['NaN', 'null', '', '"40"', 'Infinity', '-Infinity', '1e999', '-1e999', 'true', '[40]', '{}', '0x28', '40ppm', '4,0', '{"v":NaN}', '{"v":null}', '{"v":"40"}', '{"v":1e999}', '{"v":true}', '{"v":[40]}', '{"v":{}}'];

  it.each(NONE)('%j is set aside with a reason, and makes the point unknown: no comparison ever sees it', (payload) => {
    const { readings, refusals } = take(payload);
    expect(refusals).toHaveLength(1);
    expect(readings).toMatchObject([{ value: null, quality: 'bad' }]);
    const site = new FoldedSite();
    site.read(reading('breathing-air-co', 15, 1_000));
    site.read({ ...reading('breathing-air-co', null, 2_000), reason: readings[0]?.reason ?? null });
    // What is unknown clears nothing.
    site.tick(600_000);
    expect(site.standing()).toContain('co-high unacknowledged');
  });

  it('-0 is 0, and a number beyond the exact ones is out of range', () => {
    expect(Object.is(take('-0').readings[0]?.value, 0)).toBe(true);
    expect(take('9007199254740993').readings[0]).toMatchObject({ quality: 'bad', reason: 'out-of-range' });
  });
});

it('#41 a single spike of 400 ppm calls at once, is recorded, and waits for people', () => {
  const site = new FoldedSite();
  site.read(reading('breathing-air-co', 2, 1_000));
  const { transitions } = site.read(reading('breathing-air-co', 400, 2_000));
  expect(transitions.map(({ rule, what, atMs }) => [rule.name, what, atMs])).toContainEqual(['co-high', 'raised', 2_000]);
  site.read(reading('breathing-air-co', 2, 3_000));
  site.tick(900_000);
  expect(site.standing().find((one) => one.startsWith('co-high '))).toBeDefined();
});

describe('#42 units mixed up', () => {
  it.each([['"u":"bar"', 'wrong-unit'], ['"u":"mg/m3"', 'wrong-unit'], ['"u":"psi"', 'wrong-unit'], ['"u":""', 'wrong-unit'], ['"u":7', 'wrong-unit']])('%s for a gas is refused by name', (unit, reason) => {
    expect(take(`{"v":12,${unit}}`).refusals.map((refusal) => refusal.reason)).toEqual([reason]);
  });

  it('bar, kPa and psi of one pressure are one reading; a temperature in °F is converted', () => {
    const pressure = (payload: string) => take(payload, false, 'potside/pier-9/rig-a/pot-pressure').readings[0]?.value;
    expect([pressure('{"v":6.894757,"u":"bar"}'), pressure('{"v":689.4757,"u":"kPa"}'), pressure('{"v":100,"u":"[psi]"}')]).toEqual([100, 100, 100]);
  });
});

describe('#44 #45 a sensor that slows down or falls silent', () => {
  it('is unknown after its own period, not before, and again known at its next word', () => {
    const site = new FoldedSite(testSite(SITE_YAML.replace('every: 1s', 'every: 30s')));
    const quality = () => site.evaluator.point('rig-a', 'supply-pressure')?.quality;
    site.read(reading('supply-pressure', 100, 1_000));
    site.tick(90_900);
    expect(quality()).toBe('good');
    site.tick(91_100);
    expect(quality()).toBe('bad');
    expect(site.moves.filter(({ what, point }) => what === 'raised' && point === 'supply-pressure')).toHaveLength(1);
    site.read(reading('supply-pressure', 100, 92_000));
    expect(quality()).toBe('good');
  });

  it('a hundred a second are all judged: the one that is high is not lost among them', () => {
    const site = new FoldedSite();
    for (let index = 0; index < 500; index += 1) site.read(reading('breathing-air-co', index === 333 ? 15 : 2, 1_000 + index * 10));
    expect(site.moves.filter(({ rule, what }) => rule.name === 'co-high' && what === 'raised')).toHaveLength(1);
  });

  it('CO in silence is unknown within ten seconds and an alarm of its own; its last value never stands for it', () => {
    const site = new FoldedSite();
    site.act(500, { kind: 'start-shift', rig: 'rig-a', by: 'dana', role: 'supervisor', from: 'test', key: 'one' });
    site.act(500, { kind: 'hood-in', rig: 'rig-a', name: 'Ray', by: 'dana', role: 'supervisor', from: 'test', key: 'two' });
    site.read(reading('breathing-air-co', 2, 1_000));
    site.tick(12_000);
    expect(site.evaluator.point('rig-a', 'breathing-air-co')).toMatchObject({ quality: 'bad', reason: 'stale' });
    expect(site.moves.some(({ what, point }) => what === 'raised' && point === 'breathing-air-co')).toBe(true);
  });
});

it('#46 a retained reading without a time is refused; with an old one it is history', () => {
  expect(take('12', true)).toMatchObject({ readings: [], refusals: [{ reason: 'retained-without-time' }] });
  expect(take(JSON.stringify({ v: 40, t: NOW / 1000 - 3_600 }), true).readings).toMatchObject([{ value: 40, backlog: true, observedAtMs: NOW - 3_600_000 }]);
});
