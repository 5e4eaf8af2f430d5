import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { onTestFinished } from 'vitest';
import { PASSWORD } from './server.ts';

const POTSIDE = 'dist/cli/main.js';

export interface Ready {
  readonly url: string;
  readonly mqtt: string;
  readonly users: readonly { readonly name: string; readonly password: string; readonly role: string }[];
}

export interface PotsideProcess {
  readonly child: ChildProcess;
  readonly ready: Ready;
  /** Empty for a server alone. */
  readonly mqttPort: string;
  /** What it wrote on stderr so far. */
  log(): string;
  /** Sends a signal and waits for the end; answers with the exit code. */
  end(signal: NodeJS.Signals): Promise<{ code: number | null }>;
}

/** Starts `potside …` from the build and waits until it says it is ready. Killed when the test ends. */
export function startPotside(...args: string[]): Promise<PotsideProcess> {
  return startPotsideUnder({}, ...args);
}

/** The same under another program, such as strace, or in another environment. `wrap` must become the process itself. */
export async function startPotsideUnder({ wrap = [], env = {} }: { readonly wrap?: readonly string[]; readonly env?: NodeJS.ProcessEnv }, ...args: string[]): Promise<PotsideProcess> {
  const [program = process.execPath, ...rest] = [...wrap, process.execPath, POTSIDE, ...args, '--json', '--log', 'warn'];
  const child = spawn(program, rest, { stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, ...env } });
  onTestFinished(() => void child.kill('SIGKILL'));
  let log = '';
  child.stderr.on('data', (chunk: Buffer) => (log += chunk.toString()));
  const line = await Promise.race([
    once(createInterface(child.stdout), 'line').then(([text]) => String(text)),
    once(child, 'exit').then(([code]) => Promise.reject(new Error(`potside ${args[0]} ended with ${code} before it was ready: ${log}`))),
  ]);
  const ready = JSON.parse(line) as Ready;
  return {
    child,
    ready,
    mqttPort: URL.canParse(ready.mqtt) ? new URL(ready.mqtt).port : '',
    log: () => log,
    end: async (signal) => {
      child.kill(signal);
      const code = child.exitCode ?? ((await once(child, 'exit')) as [number | null])[0];
      return { code };
    },
  };
}

/** Runs `potside …` to its end. */
export function runPotside(args: readonly string[], input = ''): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [POTSIDE, ...args], { input, encoding: 'utf8', timeout: 60_000 });
  return { code: status, out: stdout, err: stderr };
}

/** Adds a supervisor to a data directory. */
export function addSupervisor(dataDir: string): void {
  const { code, err } = runPotside(['user', 'add', 'dana', '--role', 'supervisor', '--password-stdin', '--data', dataDir], `${PASSWORD}\n`);
  if (code !== 0) throw new Error(err);
}

export interface Client {
  readonly cookie: string;
  get(path: string): Promise<any>;
  post(path: string): Promise<Response>;
}

/** Signs in and asks. */
export async function signIn(url: string, name = 'dana', password = PASSWORD): Promise<Client> {
  const response = await fetch(`${url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name, password }) });
  if (!response.ok) throw new Error(await response.text());
  const cookie = (response.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  return {
    cookie,
    get: async (path) => (await fetch(url + path, { headers: { cookie } })).json(),
    post: (path) => fetch(url + path, { method: 'POST', headers: { cookie } }),
  };
}

/** Publishes with `mosquitto_pub`, a client that is not ours. Returns once the broker has acknowledged. */
export function mosquittoPub(port: string, topic: string, message: string | Buffer, ...more: string[]): void {
  const { status, stderr } = spawnSync('mosquitto_pub', ['-h', '127.0.0.1', '-p', port, '-t', topic, '-q', '1', '-s', ...more], { input: message, encoding: 'utf8', timeout: 10_000 });
  if (status !== 0) throw new Error(`mosquitto_pub: ${stderr}`);
}
