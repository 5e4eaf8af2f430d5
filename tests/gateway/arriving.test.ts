import { fieldsOf } from '../../gateway/fields-of.ts';
import { describe, expect, it } from 'vitest';
import { Arriving } from '../../gateway/arriving.ts';
import { guessForm } from '../../gateway/guess-form.ts';
import { type Message, takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { endWarnings } from '../../gateway/warn-ends.ts';
import { createLog } from '../../host/log.ts';
import { NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';

const topics = new TopicMap(testSite());
const message = (topic: string, text: string): Message => ({ topic, payload: Buffer.from(text), retained: false });

function hear(arriving: Arriving, topic: string, text: string, atMs: number): void {
  const heard = message(topic, text);
  arriving.note(heard, takeIn(topics, heard, atMs), atMs);
}

describe('what is arriving', () => {
  it('says of each topic how often, what it looks like, what it feeds, and why it is refused', () => {
    const arriving = new Arriving();
    for (let second = 0; second <= 20; second += 1) hear(arriving, 'line/pt-101', `{"pressure": ${100 + second}, "ts": ${NOW / 1000 + second}}`, NOW + second * 1_000);
    hear(arriving, 'potside/pier-9/rig-a/breathing-air-co', 'high', NOW);
    hear(arriving, 'weather/mast', '[{"n":"temp","v":18}]', NOW);
    expect(arriving.list()).toMatchObject([
      { topic: 'line/pt-101', count: 21, perMinute: 60, lastAtMs: NOW + 20_000, sample: expect.stringContaining('{"pressure": 120'), bytes: expect.any(Number), form: 'json', feeds: ['rig-a/supply-pressure'], trouble: null },
      { topic: 'potside/pier-9/rig-a/breathing-air-co', count: 1, perMinute: 0, lastAtMs: NOW, sample: 'high', bytes: 4, form: 'other', feeds: ['rig-a/breathing-air-co'], trouble: expect.stringMatching(/^not-(json|a-number): .*expected/) },
      { topic: 'weather/mast', count: 1, perMinute: 0, lastAtMs: NOW, sample: expect.any(String), bytes: expect.any(Number), form: 'senml', feeds: [], trouble: expect.stringMatching(/^unknown-topic: no point is mapped/) },
    ]);
  });

  it('keeps five hundred topics, the ones heard last, and of a giant its beginning only', () => {
    const arriving = new Arriving();
    hear(arriving, 'a/old', '1', NOW);
    for (let n = 0; n < 1_600; n += 1) hear(arriving, `b/${n}`, 'x'.repeat(60_000), NOW);
    const list = arriving.list();
    expect(list).toHaveLength(500);
    expect(list.some(({ topic }) => topic === 'a/old' || topic === 'b/1099')).toBe(false);
    expect(list[0]).toMatchObject({ bytes: 60_000, form: 'other' });
    expect(list[0]?.sample.length).toBeLessThanOrEqual(120);
  });

  it.each([['12.5', 'number'], [' -3e2 ', 'number'], ['{"v":1}', 'json'], ['[1,2]', 'json'], ['[{"bn":"x","v":1}]', 'senml'], ['{"v":', 'other'], ['\u0000\u0001', 'other'], ['', 'other']])('%j looks like %s', (text, form) => {
    expect(guessForm('line/x', Buffer.from(text))).toBe(form);
  });
});

it('warns of a certificate 30, 14 and 3 days ahead and when it has ended, each once', () => {
  const said: string[] = [];
  const log = createLog('warn', { write: (line: string) => void said.push(String((JSON.parse(line) as { msg: string }).msg)) });
  const warn = endWarnings(log);
  const DAY_MS = 86_400_000;
  const until = NOW + 40 * DAY_MS;
  for (let hour = 0; hour <= 41 * 24; hour += 1) warn([{ name: 'office', certificateUntilMs: until, tokenUntilMs: null }], NOW + hour * 3_600_000);
  expect(said).toEqual(['the server’s certificate ends within 30 days', 'the server’s certificate ends within 14 days', 'the server’s certificate ends within 3 days', 'the server’s certificate has ended: nothing is handed over']);
  said.length = 0;
  warn([{ name: 'office', certificateUntilMs: null, tokenUntilMs: until }], until - 2 * DAY_MS);
  expect(said).toEqual(['the token for the server ends within 3 days']);
});

it('tells what a message holds, for somebody to pick from', () => {
  const of = (text: string): unknown => fieldsOf(Buffer.from(text));
  expect(of('{"ts":12,"line":{"a/b":96.4,"on":true}}')).toEqual([{ at: '/ts', value: '12' }, { at: '/line/a~1b', value: '96.4' }, { at: '/line/on', value: 'true' }]);
  expect(of('[{"bn":"urn:dev:1:","n":"rh","v":61},{"n":"t","v":20.5},{"n":"text","vs":"x"}]')).toEqual([{ at: 'urn:dev:1:rh', value: '61' }, { at: 'urn:dev:1:t', value: '20.5' }]);
  expect([of('96.4'), of('{"broken'), of('')]).toEqual([[], [], []]);
  expect(of(JSON.stringify(Array.from({ length: 500 }, (_, index) => index)))).toHaveLength(40);
});
