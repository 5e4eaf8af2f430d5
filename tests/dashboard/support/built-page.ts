import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
const BUILDS = join(ROOT, 'tests/output/page');
/** All that is built into the page; libraries go by the lock file. */
const SOURCES = ['dashboard', 'domain', 'package-lock.json'];
const OLD_MS = 3_600_000;

/**
 * The page as it ships, in a folder that is only read. Named by its sources' content, so that a test never looks at an old build; the first test
 * that asks builds it, and all others of a run have it from there.
 */
export async function buildPage(): Promise<string> {
  const outDir = join(BUILDS, fingerprint());
  mkdirSync(BUILDS, { recursive: true });
  while (!existsSync(outDir)) {
    if (!claims(`${outDir}.claim`)) await pause(200);
    else {
      try {
        await buildInto(`${outDir}.new`);
        renameSync(`${outDir}.new`, outDir);
        dropOld(outDir);
      } finally {
        rmSync(`${outDir}.claim`, { force: true });
      }
    }
  }
  return outDir;
}

function fingerprint(): string {
  const hash = createHash('sha256');
  for (const file of SOURCES.flatMap((path) => filesOf(join(ROOT, path)))) hash.update(file.slice(ROOT.length)).update('\0').update(readFileSync(file)).update('\0');
  return hash.digest('hex').slice(0, 16);
}

function filesOf(path: string): string[] {
  return statSync(path).isDirectory() ? readdirSync(path).toSorted().flatMap((name) => filesOf(join(path, name))) : [path];
}

/** True for one of all who ask at once. Who died over it is taken out, and asked for again. */
function claims(file: string): boolean {
  try {
    writeFileSync(file, String(process.pid), { flag: 'wx' });
    return true;
  } catch {
    if (!isAlive(file)) rmSync(file, { force: true });
    return false;
  }
}

function isAlive(file: string): boolean {
  try {
    const holder = Number(readFileSync(file, 'utf8'));
    // Empty for the moment between being made and written.
    if (holder === 0) return true;
    process.kill(holder, 0);
    return true;
  } catch {
    return existsSync(file) && Date.now() - statSync(file).mtimeMs < 1_000;
  }
}

/** As it ships: the test runner's own `NODE_ENV` would put the development form of React into it, several times as large and as slow. */
async function buildInto(outDir: string): Promise<void> {
  const { NODE_ENV: before = 'test' } = process.env;
  process.env['NODE_ENV'] = 'production';
  try {
    await build({ configFile: join(ROOT, 'dashboard/vite.config.ts'), logLevel: 'warn', build: { outDir } });
  } finally {
    process.env['NODE_ENV'] = before;
  }
}

/** Those of earlier runs; one that another run may still look at is left. */
function dropOld(newest: string): void {
  for (const name of readdirSync(BUILDS)) {
    const path = join(BUILDS, name);
    if (path !== newest && !name.endsWith('.claim') && Date.now() - statSync(path).mtimeMs > OLD_MS) rmSync(path, { recursive: true, force: true });
  }
}
