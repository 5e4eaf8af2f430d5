import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, chownSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { freePort } from './mosquitto.ts';
import { until } from './quiet.ts';

/** A PostgreSQL of a test's own, on loopback, with nothing of the machine's. */
export interface Postgres {
  /** Makes a database where there is none of this name. */
  database(name: string): Promise<string>;
  /** Asks as the owner of everything. */
  ask(text: string, database?: string): Promise<Record<string, unknown>[]>;
  kill(): Promise<void>;
  start(): Promise<void>;
  stop(): Promise<void>;
}

const ROOT = '/usr/lib/postgresql';

/** Where its programs are; null where it is not installed. */
export const POSTGRES_BIN = ((): string | null => {
  const [newest] = existsSync(ROOT) ? readdirSync(ROOT).sort((a, b) => Number(b) - Number(a)) : [];
  const bin = newest === undefined ? '' : join(ROOT, newest, 'bin');
  if (existsSync(join(bin, 'postgres'))) return bin;
  console.warn('skipped what is over PostgreSQL: it is not installed here; scripts/install-test-tools.sh does that');
  return null;
})();

/** It refuses to run as root. */
function user(): { uid?: number; gid?: number } {
  if (process.getuid?.() !== 0) return {};
  const id = (flag: string): number => Number(execFileSync('id', [flag, 'postgres'], { encoding: 'utf8' }));
  return { uid: id('-u'), gid: id('-g') };
}

/** `dataDir`: where its files go, e.g. on a disk of a test's own. */
export async function startPostgres(dataDir?: string, more: readonly string[] = []): Promise<Postgres> {
  if (POSTGRES_BIN === null) throw new Error('PostgreSQL is not installed: scripts/install-test-tools.sh does it');
  const as = user();
  const top = mkdtempSync(join(tmpdir(), 'potside-postgres-'));
  chmodSync(top, 0o755);
  const dir = dataDir ?? join(top, 'data');
  mkdirSync(dir, { recursive: true });
  if (as.uid !== undefined && as.gid !== undefined) for (const one of [top, dir]) chownSync(one, as.uid, as.gid);
  const port = await freePort();
  execFileSync(join(POSTGRES_BIN, 'initdb'), ['-D', dir, '-U', 'potside', '-A', 'trust', '-E', 'UTF8', '--locale=C', '--no-sync', '--wal-segsize=1'], { ...as, stdio: 'ignore', cwd: '/' });
  const url = (database: string): string => `postgres://potside@127.0.0.1:${port}/${database}`;
  const ask = async (text: string, database = 'postgres'): Promise<Record<string, unknown>[]> => {
    const client = new pg.Client({ connectionString: url(database), connectionTimeoutMillis: 2_000 });
    client.on('error', () => undefined);
    await client.connect();
    try {
      return (await client.query(text)).rows as Record<string, unknown>[];
    } finally {
      await client.end();
    }
  };
  let child: ChildProcess | null = null;
  const start = async (): Promise<void> => {
    child = spawn(join(POSTGRES_BIN, 'postgres'), ['-D', dir, '-p', String(port), '-c', 'listen_addresses=127.0.0.1', '-c', `unix_socket_directories=${top}`, '-c', 'shared_buffers=16MB', '-c', 'max_connections=60', ...more], { ...as, stdio: 'ignore', cwd: '/' });
    await until(() => ask('SELECT 1').then(() => true, () => false), 'PostgreSQL to answer', 30_000);
  };
  const end = async (signal: NodeJS.Signals): Promise<void> => {
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = once(child, 'exit');
    child.kill(signal);
    await ended;
  };
  await start();
  return {
    database: async (name) => {
      if ((await ask(`SELECT 1 FROM pg_database WHERE datname = '${name}'`)).length === 0) await ask(`CREATE DATABASE ${name}`);
      return url(name);
    },
    ask,
    // SIGQUIT ends it at once and leaves recovery to the next start, as a power cut would; SIGKILL would leave its children.
    kill: () => end('SIGQUIT'),
    start,
    stop: async () => {
      await end('SIGQUIT');
      rmSync(top, { recursive: true, force: true });
    },
  };
}
