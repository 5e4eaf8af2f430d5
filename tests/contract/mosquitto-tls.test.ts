import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { makeCertificates } from '../support/certificates.ts';
import { addSupervisor, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const SITE = SITE_YAML.replaceAll('pier-9', 'quay-4');
const PASSWORDS = { potside: 'harbor-9', 'pt-101': 'kelp-7', 'horn-a': 'flint-3' } as const;

/** The example of deploy/mosquitto as it stands, with other paths and another port. */
async function startMosquitto(dir: string, port: number): Promise<void> {
  const files = { ca: '/etc/mosquitto/certs/ca.pem', cert: '/etc/mosquitto/certs/server.pem', key: '/etc/mosquitto/certs/server.key' };
  const made = makeCertificates(dir);
  mkdirSync(join(dir, 'kept'));
  writeFileSync(join(dir, 'passwd'), '', { mode: 0o600 });
  for (const [name, password] of Object.entries(PASSWORDS)) execFileSync('mosquitto_passwd', ['-b', join(dir, 'passwd'), name, password], { stdio: 'ignore' });
  writeFileSync(join(dir, 'acl'), readFileSync('deploy/mosquitto/acl'), { mode: 0o600 });
  const example = readFileSync('deploy/mosquitto/mosquitto.conf', 'utf8');
  const ours = [[files.ca, made.ca], [files.cert, made.cert], [files.key, made.key], ['/etc/mosquitto/passwd', join(dir, 'passwd')], ['/etc/mosquitto/acl', join(dir, 'acl')], ['/var/lib/mosquitto/', `${join(dir, 'kept')}/`], ['listener 8883', `listener ${port} 127.0.0.1`]] as const;
  const text = ours.reduce((conf, [from, to]) => {
    expect(conf).toContain(from);
    return conf.replaceAll(from, to);
  }, example);
  writeFileSync(join(dir, 'mosquitto.conf'), `${text}\nuser root\n`);
  const child = spawn('mosquitto', ['-c', join(dir, 'mosquitto.conf')], { stdio: 'ignore' });
  onTestFinished(() => void child.kill('SIGKILL'));
  await until(() => new Promise((resolve) => {
    const socket = createConnection({ port, host: '127.0.0.1' }, () => (socket.destroy(), resolve(true)));
    socket.on('error', () => resolve(false));
  }), 'Mosquitto to listen', 10_000);
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  const { port } = server.address() as { port: number };
  await new Promise((resolve) => server.close(resolve));
  return port;
}

it('the example configuration: readings over TLS with accounts, a sensor confined to its topic, the beacon for the horn', async () => {
  const dir = tempDir();
  const port = await freePort();
  await startMosquitto(dir, port);
  writeFileSync(join(dir, 'secret'), PASSWORDS.potside);
  writeFileSync(join(dir, 'site.yaml'), `${SITE}mqtt: { url: "mqtts://127.0.0.1:${port}", username: potside, password-file: ${join(dir, 'secret')}, ca-file: ${join(dir, 'ca.pem')} }\n`);
  addSupervisor(join(dir, 'data'));
  const potside = await startPotside('serve', '--config', join(dir, 'site.yaml'), '--data', join(dir, 'data'), '--port', '0');
  const client = await signIn(potside.ready.url);
  const login = (user: keyof typeof PASSWORDS): string[] => ['-h', '127.0.0.1', '-p', String(port), '--cafile', join(dir, 'ca.pem'), '-u', user, '-P', PASSWORDS[user], '-q', '1'];
  const publish = (user: keyof typeof PASSWORDS, topic: string, message: string): number | null => spawnSync('mosquitto_pub', [...login(user), '-t', topic, '-m', message], { timeout: 10_000 }).status;
  const value = async (point: string): Promise<number | null> => (await client.get('/api/rigs/rig-a/points')).items.find(({ id }: { id: string }) => id === point)?.value ?? null;
  await until(async () => ((await (await fetch(`${potside.ready.url}/api/ready`)).json()) as { gateway: { connected: boolean } }).gateway.connected, 'Potside at the broker', 15_000);
  expect(publish('pt-101', 'potside/quay-4/rig-a/supply-pressure', '101.5')).toBe(0);
  await until(async () => (await value('supply-pressure')) === 101.5, 'the reading', 15_000);
  // What the ACL forbids Mosquitto takes without a word (MQTT 3.1.1 has none for it) and drops.
  publish('pt-101', 'potside/quay-4/rig-a/breathing-air-co', '99');
  publish('horn-a', 'potside/quay-4/rig-a/supply-pressure', '3');
  expect(publish('pt-101', 'potside/quay-4/rig-a/supply-pressure', '102.5')).toBe(0);
  await until(async () => (await value('supply-pressure')) === 102.5, 'the next reading', 15_000);
  expect(await value('breathing-air-co')).toBeNull();
  const beacon = spawnSync('mosquitto_sub', [...login('horn-a'), '-t', 'potside/quay-4/beacon', '-C', '1', '-W', '10'], { encoding: 'utf8' });
  expect(JSON.parse(beacon.stdout)).toMatchObject({ validForS: 15 });
  // Without TLS, and without an account, nobody is there.
  expect(spawnSync('mosquitto_pub', ['-h', '127.0.0.1', '-p', String(port), '-t', 'x', '-m', '1'], { timeout: 10_000 }).status).not.toBe(0);
  expect(spawnSync('mosquitto_pub', ['-h', '127.0.0.1', '-p', String(port), '--cafile', join(dir, 'ca.pem'), '-t', 'x', '-m', '1'], { timeout: 10_000 }).status).not.toBe(0);
});
