import { readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { withTables } from './computation-tables.ts';

const DOCUMENT = new URL('../../../docs/computations.md', import.meta.url);

/** `UPDATE_DOCS=1 npx vitest run tests/domain/published` writes the tables anew; without, they must be as they would be written. */
test('docs/computations.md shows what the code computes today', () => {
  const written = readFileSync(DOCUMENT, 'utf8');
  const fresh = withTables(written);
  if (process.env['UPDATE_DOCS'] === '1') writeFileSync(DOCUMENT, fresh);
  else expect(written, 'out of date: UPDATE_DOCS=1 npx vitest run tests/domain/published').toBe(fresh);
});
