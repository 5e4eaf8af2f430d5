import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { PAYLOAD_FORMS } from '../../domain/shift/site-config.ts';
import { REFUSAL_REASONS } from '../../domain/wire/refusal.ts';
import { IntakeMemory } from '../../gateway/intake-memory.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { testSite } from '../support/site.ts';

const text = readFileSync('docs/topics.md', 'utf8');
const mapping = /```yaml\n([\s\S]*?)```/.exec(text)?.[1] ?? '';
const topics = new TopicMap(testSite(`site: { id: quay-4, name: Quay 4 gates, zone: America/Chicago }\n${mapping}`));
const lines = text.split('\n').filter((line) => line.includes('mosquitto_pub '));
const memory = new IntakeMemory();

it('has a line for every payload form', () => {
  const forms = new Set(lines.map((line) => topicOf(line)).flatMap((topic) => (topics.sparkplug(topic)?.targets ?? topics.targets(topic)).map(({ source }) => source?.payload)));
  expect([...PAYLOAD_FORMS].filter((form) => !forms.has(form))).toEqual([]);
});

// In the order of the document: the edge node is born before it speaks.
it.each(lines)('%s', (line) => {
  const payload = /-m '([^']*)'/.exec(line)?.[1] ?? /-m (\S+)/.exec(line)?.[1];
  const base64 = /echo (\S+) \| base64 -d/.exec(line)?.[1];
  const { readings, refusals } = takeIn(topics, { topic: topicOf(line), payload: base64 ? Buffer.from(base64, 'base64') : Buffer.from(payload ?? ''), retained: false }, Date.UTC(2025, 10, 25, 9, 1), memory);
  expect(refusals).toEqual([]);
  expect(readings.length).toBeGreaterThan(0);
  if (!line.includes('NDEATH')) expect(readings.every(({ quality }) => quality === 'good')).toBe(true);
});

it('names every reason of a refusal that is given', () => {
  // Kept for a clock policy that is not in force: such a reading is kept as suspect.
  const unused = ['time-out-of-bounds'];
  expect(REFUSAL_REASONS.filter((reason) => !unused.includes(reason) && !text.includes(`| \`${reason}\` |`))).toEqual([]);
});

function topicOf(line: string): string {
  return /-t (\S+)/.exec(line)?.[1] ?? '';
}
