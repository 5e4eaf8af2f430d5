import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A folder of the test's own, gone when it ends. */
export function tempDir(): string {
  const dir = mkdtempSync(join(tmpdir(), 'potside-test-'));
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}
