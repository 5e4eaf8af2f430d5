import { writeFileSync } from 'node:fs';
import { request } from 'node:https';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { makeCertificates } from '../support/certificates.ts';
import { addSupervisor, mosquittoPub, type PotsideProcess, runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { batch, NOW, testServer } from '../support/server.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const CO = 'potside/pier-9/rig-a/breathing-air-co';

interface Split {
  readonly dir: string;
  startServer(port?: string): Promise<PotsideProcess>;
  startGateway(url: string, more?: string): Promise<PotsideProcess>;
}

/** A server in clear on loopback and a gateway beside it, each with its own data. */
function split(): Split {
  const dir = tempDir();
  const file = (name: string): string => join(dir, name);
  writeFileSync(file('site.yaml'), SITE_YAML);
  addSupervisor(file('server'));
  writeFileSync(file('token'), runPotside(['token', 'add', 'pier-9', '--role', 'gateway', '--data', file('server')]).out);
  return {
    dir,
    startServer: (port = '0') => startPotside('server', '--config', file('site.yaml'), '--data', file('server'), '--port', port),
    startGateway: (url, more = '') => {
      writeFileSync(file('gateway.yaml'), `${SITE_YAML}uplinks:\n  - { name: office, url: "${url}", token-file: ${file('token')} ${more}}\n`);
      return startPotside('gateway', '--config', file('gateway.yaml'), '--data', file('gateway'), '--mqtt-port', '0');
    },
  };
}

/** Waits until the trace holds a value. Signs in once: who does it at every look is told to wait. */
async function untilCo(url: string, value: number): Promise<void> {
  const page = await signIn(url);
  await until(async () => (await page.get('/api/rigs/rig-a/trace?points=breathing-air-co')).series[0].max.includes(value), `the reading of ${value}`, 60_000);
}

describe('gateway and server apart', () => {
  it('a reading goes from the sensor to the server; while the server is away nothing is refused, and then it follows', async () => {
    const site = split();
    const server = await site.startServer();
    const gateway = await site.startGateway(server.ready.url);
    mosquittoPub(gateway.mqttPort, CO, '3.5');
    await untilCo(server.ready.url, 3.5);
    await server.end('SIGKILL');
    mosquittoPub(gateway.mqttPort, CO, '4.5');
    const again = await site.startServer(new URL(server.ready.url).port);
    await untilCo(again.ready.url, 4.5);
    expect((await gateway.end('SIGTERM')).code).toBe(0);
    expect((await again.end('SIGTERM')).code).toBe(0);
  });

  it('a gateway without uplinks says what is missing; a token in clear over the network is refused', () => {
    const dir = tempDir();
    writeFileSync(join(dir, 'site.yaml'), SITE_YAML);
    expect(runPotside(['gateway', '--config', join(dir, 'site.yaml')])).toMatchObject({ code: 2, err: expect.stringMatching(/uplinks: expected at least one server/) });
    writeFileSync(join(dir, 'clear.yaml'), `${SITE_YAML}uplinks: [{ url: "http://office.example", token-file: token }]\n`);
    expect(runPotside(['gateway', '--config', join(dir, 'clear.yaml')])).toMatchObject({ code: 2, err: expect.stringMatching(/uplinks\.0\.url: expected https:/) });
    expect(runPotside(['server', '--config', join(dir, 'site.yaml'), '--tls-cert', 'x.pem'])).toMatchObject({ code: 2, err: expect.stringMatching(/--tls-cert and --tls-key go together/) });
  });
});

describe('TLS', () => {
  it('a certificate that does not check out gets nothing; one that does gets everything that waited', async () => {
    const site = split();
    const { ca, cert, key } = makeCertificates(site.dir);
    const server = await startPotside('server', '--config', join(site.dir, 'site.yaml'), '--data', join(site.dir, 'server'), '--port', '0', '--tls-cert', cert, '--tls-key', key);
    expect(server.ready.url).toMatch(/^https:/);
    const wary = await site.startGateway(server.ready.url);
    mosquittoPub(wary.mqttPort, CO, '5.5');
    await until(() => /unable to verify|self-signed|unable to get/i.test(wary.log()), 'the refusal');
    await wary.end('SIGTERM');
    const trusting = await site.startGateway(server.ready.url, `, ca-file: ${ca}`);
    const ask = (): Promise<string> => new Promise((resolve, reject) => {
      const token = runPotside(['token', 'add', `reader ${Math.random()}`, '--role', 'viewer', '--data', join(site.dir, 'server')]).out.trim();
      request(`${server.ready.url}/api/rigs/rig-a/points`, { ca: readFileSync(ca), headers: { authorization: `Bearer ${token}` } }, (response) => {
        let text = '';
        response.on('data', (chunk: Buffer) => (text += chunk.toString())).on('end', () => resolve(text));
      }).on('error', reject).end();
    });
    await until(async () => (await ask()).includes('5.5'), 'the reading', 15_000);
    await trusting.end('SIGTERM');
  });
});

describe('POST /api/uplink/:site', () => {
  const reading = (sequence: number, value: number) => ({ owner: 'rig-a', point: 'breathing-air-co', value, observedAtMs: NOW, receivedAtMs: NOW, quality: 'good' as const, reason: null, backlog: false, sequence });
  const body = (...sequences: number[]): object => {
    const { site: _site, ...rest } = batch(sequences.map((sequence) => reading(sequence, 2)), NOW);
    return rest;
  };

  it('is for gateways only, and they may do nothing else', async () => {
    const { server, call, signIn: signInAs } = await testServer();
    const bearer = { authorization: `Bearer ${await server.accounts.tokens.add('pier-9', 'gateway')}` };
    expect((await call('POST', '/api/uplink/pier-9', { body: body(1) })).status).toBe(401);
    expect((await call('POST', '/api/uplink/pier-9', { body: body(1), cookie: await signInAs('administrator') })).status).toBe(403);
    expect(await (await call('POST', '/api/uplink/pier-9', { body: body(1), headers: bearer })).json()).toEqual({ committed: 1, ranges: [[0, 1]], tokenUntilMs: NOW + 90 * 86_400_000 });
    for (const path of ['/api/rigs', '/api/alarms', '/api/refusals', '/api/metrics']) expect((await call('GET', path, { headers: bearer })).status).toBe(403);
    expect((await call('POST', '/api/uplink/pier-8', { body: body(1), headers: bearer })).status).toBe(404);
    await expect(server.accounts.addUser('mole', 'gateway', 'cedar-anvil-42')).rejects.toThrow(/not a role/);
  });

  it('takes a packed batch once, refuses one that is out of order or unpacks to too much, and names what is wrong', async () => {
    const { server, call } = await testServer();
    const headers = { authorization: `Bearer ${await server.accounts.tokens.add('pier-9', 'gateway')}`, 'content-type': 'application/json' };
    const post = (bytes: Buffer | string, encoding?: string): Promise<Response> => fetch(`${server.url}/api/uplink/pier-9`, { method: 'POST', headers: { ...headers, ...(encoding ? { 'content-encoding': encoding } : {}) }, body: bytes });
    const text = JSON.stringify(body(1, 2, 3));
    for (let twice = 0; twice < 2; twice += 1) expect(await (await post(gzipSync(text), 'gzip')).json()).toMatchObject({ committed: 3, ranges: [[0, 3]] });
    expect((await post(gzipSync(Buffer.alloc(20_000_000, 0x20)), 'gzip')).status).toBe(413);
    expect((await post(Buffer.from('not gzip at all'), 'gzip')).status).toBe(400);
    expect((await post(text, 'br')).status).toBe(415);
    expect(await (await call('POST', '/api/uplink/pier-9', { body: body(3, 2), headers })).json()).toMatchObject({ status: 400, detail: expect.stringMatching(/expected sequences in order/) });
    expect(await (await call('POST', '/api/uplink/pier-9', { body: { ...body(4), lane: 'fast' }, headers })).json()).toMatchObject({ status: 400, detail: expect.stringMatching(/^lane/) });
    // Nothing between 3 and 6 is left at the gateway: the range is closed, and the server counts what it never got.
    expect(await (await call('POST', '/api/uplink/pier-9', { body: { ...body(), lane: 'backlog', after: 3, through: 6 }, headers })).json()).toMatchObject({ committed: 6, ranges: [[0, 6]] });
    expect(server.writer('pier-9')?.cursors()).toMatchObject([{ missing: 3 }]);
  });
});
