import { readFileSync, writeFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { configurationTable } from './configuration-reference.ts';
import { alarmsTable, pointsTable, readyTable } from './tables.ts';

/** Between these two lines a doc is written by the code: `UPDATE_DOCS=1 npx vitest run tests/docs` writes it anew. */
const BEGIN = '<!-- generated: do not edit -->';
const END = '<!-- end of generated -->';

it.each([
  ['docs/points.md', pointsTable()],
  ['docs/alarms.md', alarmsTable()],
  ['docs/ready.md', readyTable()],
  ['docs/configuration-reference.md', configurationTable()],
])('%s says what the code says', (file, table) => {
  const text = readFileSync(file, 'utf8');
  const [before, rest = ''] = text.split(BEGIN);
  const after = rest.split(END)[1];
  expect(after, `${file} has no generated part`).toBeDefined();
  const now = `${before}${BEGIN}\n\n${table}\n\n${END}${after}`;
  if (process.env['UPDATE_DOCS'] === '1') writeFileSync(file, now);
  else expect(text).toBe(now);
});
