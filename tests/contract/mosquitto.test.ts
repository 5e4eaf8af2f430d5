import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { addSupervisor, mosquittoPub, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

interface Broker {
  readonly port: number;
  stop(): Promise<void>;
  start(): Promise<void>;
}

/** A real Mosquitto that asks for a password. */
async function startMosquitto(dir: string): Promise<Broker> {
  const port = await freePort();
  const passwords = join(dir, 'passwords');
  writeFileSync(passwords, '', { mode: 0o600 });
  await run('mosquitto_passwd', ['-b', passwords, 'potside', 'harbor-9']);
  await run('mosquitto_passwd', ['-b', passwords, 'sensor', 'kelp-7']);
  const file = join(dir, 'mosquitto.conf');
  writeFileSync(file, `listener ${port} 127.0.0.1\nallow_anonymous false\npassword_file ${passwords}\npersistence false\nuser root\n`);
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
    stop: async () => {
      child.kill('SIGKILL');
      await until(async () => !(await isUp()), 'Mosquitto to end');
    },
    start: async () => {
      child = spawn('mosquitto', ['-c', file], { stdio: 'ignore' });
      await until(isUp, 'Mosquitto to listen again');
    },
  };
}

function run(command: string, args: string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, { stdio: 'ignore' });
    child.on('error', reject);
    child.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`${command} ended with ${code}`))));
  });
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  return typeof address === 'object' && address ? address.port : 0;
}

it('takes readings from a Mosquitto with a password, and goes on after the broker was killed', async () => {
  const dir = tempDir();
  const broker = await startMosquitto(dir);
  const secret = join(dir, 'broker.secret');
  writeFileSync(secret, 'harbor-9\n');
  const config = join(dir, 'site.yaml');
  writeFileSync(config, `${SITE_YAML}\nmqtt: { url: "mqtt://127.0.0.1:${broker.port}", username: potside, password-file: ${secret} }\n`);
  addSupervisor(dir);
  const potside = await startPotside('serve', '--config', config, '--data', dir, '--port', '0');
  const client = await signIn(potside.ready.url);
  const publish = (topic: string, message: string, ...more: string[]): void => mosquittoPub(String(broker.port), topic, message, '-u', 'sensor', '-P', 'kelp-7', ...more);
  const value = async (id: string): Promise<unknown> => (await client.get('/api/rigs/rig-a/points')).items.find((point: any) => point.id === id)?.value;
  const isConnected = async (): Promise<boolean> => (await client.get('/api/ready')).gateway.connected;

  await until(isConnected, 'the gateway to connect');
  publish('line/pt-101', JSON.stringify({ pressure: 104.3, ts: Date.now() / 1000 }));
  await until(async () => (await value('supply-pressure')) === 104.3, 'the mapped reading');
  publish('potside/pier-9/rig-a/breathing-air-co', '12.5');
  await until(async () => (await client.get('/api/alarms')).items.some((alarm: any) => alarm.name === 'co-high'), 'the alarm');

  await broker.stop();
  await until(async () => !(await isConnected()), 'the gateway to notice');
  expect((await fetch(`${potside.ready.url}/api/ready`)).status).toBe(503);
  // A retained message is there before the gateway is back: without a time of its own it may be of any age.
  await broker.start();
  publish('potside/pier-9/rig-a/pot-pressure', '55', '-r');
  await until(isConnected, 'the gateway to come back', 15_000);
  publish('potside/pier-9/rig-a/supply-pressure', '99');
  await until(async () => (await value('supply-pressure')) === 99, 'a reading after the restart');
}, 40_000);
