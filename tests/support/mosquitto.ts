import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { until } from './quiet.ts';

export interface Mosquitto {
  readonly port: number;
  kill(): Promise<void>;
  start(): Promise<void>;
  signal(signal: NodeJS.Signals): void;
}

/** A real Mosquitto of the test's own, with more lines for its configuration. Killed when the test ends. */
export async function startMosquitto(dir: string, more: string): Promise<Mosquitto> {
  const port = await freePort();
  const file = join(dir, 'mosquitto.conf');
  writeFileSync(file, `listener ${port} 127.0.0.1\nuser root\n${more}\n`);
  let child = spawn('mosquitto', ['-c', file], { stdio: 'ignore' });
  onTestFinished(() => void child.kill('SIGKILL'));
  const isUp = (): Promise<boolean> =>
    new Promise((resolve) => {
      const socket = createConnection({ port, host: '127.0.0.1' }, () => (socket.destroy(), resolve(true)));
      socket.on('error', () => resolve(false));
    });
  await until(isUp, 'Mosquitto to listen');
  return {
    port,
    kill: async () => {
      const ended = once(child, 'exit');
      child.kill('SIGKILL');
      await ended;
    },
    start: async () => {
      child = spawn('mosquitto', ['-c', file], { stdio: 'ignore' });
      await until(isUp, 'Mosquitto to listen again');
    },
    signal: (signal) => void child.kill(signal),
  };
}

/**
 * A port that is free now and that no outgoing connection is given later: below the range that the kernel hands out by itself, since
 * whoever is killed and started again wants its port back.
 */
export async function freePort(): Promise<number> {
  for (;;) {
    const port = 20_000 + Math.floor(Math.random() * 12_000);
    const server = createServer().listen(port, '127.0.0.1');
    const isOurs = await once(server, 'listening').then(() => true, () => false);
    await new Promise((resolve) => server.close(resolve));
    if (isOurs) return port;
  }
}
