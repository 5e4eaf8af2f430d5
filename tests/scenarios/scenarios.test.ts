import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ALARM_TABLE } from '../../domain/alarms/table.ts';
import { parseStories } from './notation.ts';
import { play } from './player.ts';

const DIR = new URL('.', import.meta.url);
const stories = readdirSync(DIR)
  .filter((file) => file.endsWith('.scenario'))
  .flatMap((file) => parseStories(`tests/scenarios/${file}`, readFileSync(new URL(file, DIR), 'utf8')));

describe('alarm stories', () => {
  for (const story of stories) it(`${story.name} (${story.file.split('/').at(-1)}:${story.line})`, () => play(story));
});

it('are forty at least, and tell of every alarm of the table', () => {
  expect(stories.length).toBeGreaterThanOrEqual(40);
  const told = stories.flatMap(({ steps }) => steps).map(({ text }) => text).filter((text) => text.startsWith('expect ') && !text.startsWith('expect no ')).join('\n');
  expect([...new Set(ALARM_TABLE.map(({ name }) => name))].filter((name) => !told.includes(`expect ${name} `))).toEqual([]);
});

it('a story that goes wrong fails, and names its line', () => {
  const wrong = 'scenario wrong\nat 0 s reading breathing-air-co 12\nat 1 s expect no co-high';
  expect(() => play(parseStories('x.scenario', wrong)[0] as never)).toThrow(/x\.scenario:3: at 1 s expect no co-high/);
  expect(() => parseStories('x.scenario', 'scenario x\nwhenever reading co 3')).toThrow(/x\.scenario:2: not understood/);
});
