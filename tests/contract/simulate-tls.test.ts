import { spawn, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { expect, it, onTestFinished } from 'vitest';
import { runPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';

function openssl(dir: string, ...args: string[]): void {
  const { status, stderr } = spawnSync('openssl', args, { cwd: dir, encoding: 'utf8' });
  if (status !== 0) throw new Error(`openssl ${args[0]}: ${stderr}`);
}

/** An authority of the test's own and a certificate that it signed for the loopback. */
function makeCertificates(dir: string): void {
  const days = ['-days', '2'];
  openssl(dir, 'req', '-x509', '-newkey', 'rsa:2048', '-nodes', '-keyout', 'ca.key', '-out', 'ca.pem', '-subj', '/CN=an authority of our own', ...days);
  openssl(dir, 'req', '-newkey', 'rsa:2048', '-nodes', '-keyout', 'broker.key', '-out', 'broker.csr', '-subj', '/CN=localhost');
  writeFileSync(join(dir, 'names'), 'subjectAltName=DNS:localhost,IP:127.0.0.1\n');
  openssl(dir, 'x509', '-req', '-in', 'broker.csr', '-CA', 'ca.pem', '-CAkey', 'ca.key', '-CAcreateserial', '-out', 'broker.pem', '-extfile', 'names', ...days);
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  return typeof address === 'object' && address ? address.port : 0;
}

async function startBroker(dir: string): Promise<number> {
  const port = await freePort();
  const file = join(dir, 'mosquitto.conf');
  writeFileSync(file, `listener ${port} 127.0.0.1\nallow_anonymous true\ncafile ${dir}/ca.pem\ncertfile ${dir}/broker.pem\nkeyfile ${dir}/broker.key\npersistence false\nuser root\n`);
  const child = spawn('mosquitto', ['-c', file], { stdio: 'ignore', env: { ...process.env, PATH: `${process.env['PATH']}:/usr/sbin` } });
  onTestFinished(() => void child.kill('SIGKILL'));
  const isUp = (): Promise<boolean> =>
    new Promise((resolve) => {
      const socket = createConnection({ port, host: '127.0.0.1' }, () => (socket.destroy(), resolve(true)));
      socket.on('error', () => resolve(false));
    });
  await until(isUp, 'Mosquitto to listen', 20_000);
  return port;
}

it('publishes over TLS to a broker whose authority it is given, and not at all to one it can’t trust', async () => {
  const dir = tempDir();
  makeCertificates(dir);
  const port = await startBroker(dir);
  const url = `mqtts://localhost:${port}`;
  const heard = new Map<string, number>();
  const listener = await mqtt.connectAsync(url, { ca: readFileSync(join(dir, 'ca.pem')), reconnectPeriod: 0 });
  onTestFinished(() => listener.endAsync(true).then(() => undefined));
  listener.on('message', (topic) => void heard.set(topic, (heard.get(topic) ?? 0) + 1));
  await listener.subscribeAsync('#', { qos: 1 });

  const simulate = (...more: string[]): ReturnType<typeof runPotside> => runPotside(['simulate', '--mqtt', url, '--rigs', '1', '--for', '30s', '--speed', '10', '--start', '2026-09-14T12:00:00Z', ...more]);
  const trusted = simulate('--ca', join(dir, 'ca.pem'));
  expect(trusted.code, trusted.err).toBe(0);
  await until(() => (heard.get('hollin-6/rig-a/line') ?? 0) >= 29, 'half a minute of messages');
  expect([...heard.keys()].sort()).toEqual(['hollin-6/comp-1/engine', 'hollin-6/comp-1/outlet', 'hollin-6/rig-a/dryness', 'hollin-6/rig-a/line', 'hollin-6/rig-a/panel', 'hollin-6/weather', 'potside/hollin-6/rig-a/steel-temperature']);

  const before = heard.get('hollin-6/rig-a/line');
  const untrusted = simulate('--for', '1s');
  expect(untrusted.err).toMatch(/certificate/);
  expect(heard.get('hollin-6/rig-a/line')).toBe(before);
});
