import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { wallClock } from '../host/clock.ts';
import { Accounts } from '../server/access/accounts.ts';
import { openStore } from '../server/record/open-store.ts';

/** A server under measurement, ours or a bare one. */
export interface Running {
  readonly url: string;
  readonly mqtt: string;
  /** Of somebody who may watch; empty for a bare one. */
  readonly token: string;
  readonly child: ChildProcess;
  stop(): Promise<void>;
}

/** A script of the benchmarks as a process of its own; `script` is a URL beside the caller. */
export function startScript(script: URL, args: readonly string[] = [], input: 'pipe' | 'ignore' = 'ignore'): ChildProcess {
  return spawn(process.execPath, [script.pathname, ...args], { stdio: [input, 'pipe', 'inherit'] });
}

export async function startBare(script: URL, args: readonly string[]): Promise<Running> {
  const child = startScript(script, args);
  return { ...(await readyLine<{ url: string; mqtt: string }>(child)), token: '', child, stop: () => end(child) };
}

/** What `startPotside` needs on the disk, made beforehand: its configuration, and a token to watch with. */
export async function prepare(dir: string, siteYaml: string): Promise<string> {
  writeFileSync(join(dir, 'site.yaml'), siteYaml);
  const { store, sql } = await openStore({ dataDir: dir, database: null });
  const token = await new Accounts(sql, wallClock()).tokens.add('bench', 'viewer');
  await store.close();
  return token;
}

/** `potside serve` with its embedded broker over what was prepared in a directory. */
export async function startPotside(dir: string, token: string): Promise<Running> {
  const args = ['serve', '--config', join(dir, 'site.yaml'), '--data', dir, '--port', '0', '--mqtt-port', '0', '--json', '--log', 'error'];
  const child = startScript(new URL('../cli/main.js', import.meta.url), args);
  return { ...(await readyLine<{ url: string; mqtt: string }>(child)), token, child, stop: () => end(child) };
}

/** The first line of a process, as JSON. */
export async function readyLine<T>(child: ChildProcess): Promise<T> {
  return JSON.parse(await nextLine(linesOf(child))) as T;
}

export function linesOf(child: ChildProcess): NodeJS.EventEmitter {
  if (!child.stdout) throw new Error('no output to read');
  return createInterface(child.stdout);
}

export async function nextLine(lines: NodeJS.EventEmitter): Promise<string> {
  const [line] = (await once(lines, 'line')) as [string];
  return line;
}

export async function end(child: ChildProcess): Promise<void> {
  child.kill('SIGKILL');
  if (child.exitCode === null && child.signalCode === null) await once(child, 'exit');
}

/** Where only processor time is measured: the disk makes such a thing take longer and says nothing in it. */
export function inMemory<T>(act: (dir: string) => Promise<T>): Promise<T> {
  return inTempDir(act, existsSync('/dev/shm') ? '/dev/shm' : tmpdir());
}

export async function inTempDir<T>(act: (dir: string) => Promise<T>, parent = tmpdir()): Promise<T> {
  const dir = mkdtempSync(join(parent, 'potside-bench-'));
  try {
    return await act(dir);
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** Seconds of processor time a process has had; Linux counts them in hundredths. */
export function processorSeconds(child: ChildProcess): number {
  const fields = readFileSync(`/proc/${child.pid}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? [];
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

/** Megabytes of memory a process has resident. */
export function residentMb(child: ChildProcess): number {
  return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1] ?? 0) / 1024;
}
