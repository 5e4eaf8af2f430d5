import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Log } from '../../host/log.ts';
import { packageRoot } from '../../host/package-root.ts';
import type { Demonstration, DemonstrationState } from '../../server/demonstration/demonstration.ts';

/** What it is asked to listen on: any free ports, so that it takes none away from the site that will be set up. */
const FREE_PORTS = ['--port', '0', '--mqtt-port', '0'];
/** It closes by itself well within this. */
const STOP_WITHIN_MS = 5_000;
/** The morning is played in within ten seconds on a quick machine, and a minute on a slow one. */
const READY_WITHIN_MS = 180_000;
const LAST_WORDS_CHARS = 2_000;

interface Running {
  readonly child: ChildProcess;
  /** Resolves when the process is gone. */
  readonly gone: Promise<unknown>;
}

/** Starts `potside demo` as a process of its own, which ends with this one however this one ends. `ports`: its flags for them. */
export function createDemonstration(log: Log, ports: readonly string[] = FREE_PORTS): Demonstration {
  let state: DemonstrationState = { state: 'off' };
  let running: Running | null = null;

  const start = (): void => {
    if (running) return;
    // Its standard input is held open by this process: it ends when that closes, also where this one was killed.
    const child = spawn(process.execPath, [join(packageRoot(), 'dist', 'cli', 'main.js'), 'demo', '--json', '--ends-with-input', ...ports], { stdio: ['pipe', 'pipe', 'pipe'] });
    const mine: Running = { child, gone: Promise.race([once(child, 'close'), once(child, 'error')]).catch(() => undefined) };
    running = mine;
    state = { state: 'starting' };
    let lastWords = '';
    child.stderr.on('data', (chunk: Buffer) => (lastWords = (lastWords + chunk.toString()).slice(-LAST_WORDS_CHARS)));
    // A process that died is told by its end.
    child.stdin.on('error', () => undefined);
    const tired = setTimeout(() => {
      lastWords = 'it was not ready in time';
      child.kill('SIGKILL');
    }, READY_WITHIN_MS);
    createInterface(child.stdout).once('line', (line) => {
      clearTimeout(tired);
      if (running === mine) state = readyState(line);
    });
    child.once('error', (error) => (lastWords = error.message));
    void mine.gone.then(() => {
      clearTimeout(tired);
      if (running !== mine) return;
      running = null;
      const why = lastWords.trim().split('\n').at(-1)?.replace(/^potside: /, '') ?? '';
      state = { state: 'failed', why: why === '' ? 'it ended by itself' : why };
      log.warn({ why: lastWords.trim() }, 'the demonstration ended');
    });
  };

  return {
    look: () => state,
    start,
    async stop() {
      const was = running;
      running = null;
      state = { state: 'off' };
      if (!was) return;
      was.child.stdin?.end();
      const tired = setTimeout(() => was.child.kill('SIGKILL'), STOP_WITHIN_MS);
      await was.gone;
      clearTimeout(tired);
    },
  };
}

/** What the demonstration says when it is ready. */
function readyState(line: string): DemonstrationState {
  const { url, users } = JSON.parse(line) as { readonly url: string; readonly users: readonly { readonly name: string; readonly password: string; readonly role: string }[] };
  return { state: 'running', url, people: users };
}
