import { writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { addSupervisor, mosquittoPub, runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

function site(yaml = SITE_YAML): { dataDir: string; config: string } {
  const dataDir = tempDir();
  const config = join(dataDir, 'site.yaml');
  writeFileSync(config, yaml);
  return { dataDir, config };
}

describe('potside', () => {
  it('explains itself', () => {
    const { out, code } = runPotside(['--help']);
    expect(code).toBe(0);
    for (const command of ['demo', 'serve', 'simulate', 'calc', 'user', 'token']) expect(out).toContain(command);
    expect(out).toMatch(/no substitute for the CO alarm, the deadman or a competent\s+person/);
    for (const command of [['demo'], ['serve'], ['simulate'], ['user', 'add'], ['token', 'add']]) expect(runPotside([...command, '--help']).code).toBe(0);
  });

  it('names what is wrong with a configuration and ends with 2', () => {
    const { config, dataDir } = site(SITE_YAML.replace('elevation: 180m', 'elevation: 180psi'));
    const { code, err } = runPotside(['serve', '--config', config, '--data', dataDir]);
    expect(code).toBe(2);
    expect(err).toMatch(/site\.yaml:2: site\.elevation: .*is a pressure, expected a unit of length/);
    expect(err).not.toMatch(/at .*\.js/);
  });

  it('says what to do without a configuration, with a bad flag and with a role that does not exist', () => {
    expect(runPotside(['server'])).toMatchObject({ code: 2, err: expect.stringMatching(/--config site\.yaml/) });
    expect(runPotside(['serve', '--port', 'x']).err).toMatch(/expected a port/);
    expect(runPotside(['user', 'add', 'x', '--role', 'boss', '--password-stdin'], 'long enough').err).toMatch(/Allowed choices are viewer/);
    expect(runPotside(['simulate', '--scenario', 'nope'])).toMatchObject({ code: 2, err: expect.stringMatching(/no scenario "nope"; there are/) });
  });

  it('says plainly that a port is taken, for the page and for MQTT', async () => {
    const holder = createServer().listen(0, '127.0.0.1');
    onTestFinished(() => void holder.close());
    await new Promise((resolve) => holder.once('listening', resolve));
    const { port } = holder.address() as { port: number };
    const { config, dataDir } = site();
    const page = runPotside(['serve', '--config', config, '--data', dataDir, '--port', String(port), '--mqtt-port', '0']);
    expect([page.code, page.err]).toEqual([2, expect.stringMatching(new RegExp(`port ${port} is already taken: .*--port`))]);
    const broker = runPotside(['serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', String(port)]);
    expect([broker.code, broker.err]).toEqual([2, expect.stringMatching(new RegExp(`port ${port} for MQTT is already taken: .*--mqtt-port`))]);
  });

  it('keeps users: adds, lists, disables, and never shows a password', () => {
    const { dataDir } = site();
    addSupervisor(dataDir);
    expect(runPotside(['user', 'list', '--data', dataDir]).out).toBe('dana\tsupervisor\n');
    expect(runPotside(['user', 'add', 'lee', '--role', 'viewer', '--password-stdin', '--data', dataDir], 'short').err).toMatch(/too short: found 5 characters, expected at least 8/);
    runPotside(['user', 'disable', 'dana', '--data', dataDir]);
    expect(runPotside(['user', 'list', '--data', dataDir]).out).toBe('dana\tsupervisor\tdisabled\n');
    expect(runPotside(['token', 'add', 'report', '--role', 'viewer', '--data', dataDir]).out).toMatch(/^[\w-]{43}\n$/);
  });
});

describe('potside serve', () => {
  it('refuses nonsense with a reason that can be read, and nothing else suffers', async () => {
    const { config, dataDir } = site();
    addSupervisor(dataDir);
    const potside = await startPotside('serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0');
    const client = await signIn(potside.ready.url);
    const co = 'potside/pier-9/rig-a/breathing-air-co';
    const nonsense: [string, string | Buffer, string][] = [
      [co, 'NaN', 'not-a-number'],
      [co, '1e999', 'not-finite'],
      [co, '"40"', 'not-a-number'],
      [co, '{"v":1,"u":"bar"}', 'wrong-unit'],
      [co, `{"v":${'['.repeat(5_000)}`, 'too-deep'],
      [co, Buffer.from([0xff, 0x00, 0xfe]), 'not-text'],
      [co, Buffer.alloc(1_000_000, 0x39), 'too-large'],
      ['potside/pier-9/rig-z/breathing-air-co', '3', 'unknown-topic'],
    ];
    for (const [topic, message] of nonsense) mosquittoPub(potside.mqttPort, topic, message);
    mosquittoPub(potside.mqttPort, 'potside/pier-9/rig-a/supply-pressure', '101.5');
    await until(async () => (await client.get('/api/refusals')).items.length >= nonsense.length, 'all to be refused');
    const { items, counts } = await client.get('/api/refusals');
    expect(items.map((item: any) => item.reason).toReversed()).toEqual(nonsense.map(([, , reason]) => reason));
    expect(counts['not-a-number']).toBe(2);
    for (const item of items) await until(() => potside.log().includes(item.reason), `the log to say ${item.reason}`);
    await until(async () => (await client.get('/api/rigs/rig-a/points')).items.find((point: any) => point.id === 'supply-pressure')?.value === 101.5, 'the good reading');
    expect((await client.get('/api/rigs/rig-a/points')).items.find((point: any) => point.id === 'breathing-air-co')).toMatchObject({ value: null, quality: 'bad', reason: 'undecodable' });
  });

  it('keeps a second process off its data, and ends cleanly at Ctrl-C', async () => {
    const { config, dataDir } = site();
    const potside = await startPotside('serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0');
    const second = runPotside(['serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0']);
    expect([second.code, second.err]).toEqual([2, expect.stringMatching(/in use by process \d+: .*--data/)]);
    expect((await potside.end('SIGINT')).code).toBe(0);
  });
});
