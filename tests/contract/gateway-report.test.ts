import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import { addSupervisor, mosquittoPub, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { NOW, testServer } from '../support/server.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const REPORT: GatewayReport = {
  gateway: 'g1', epoch: 'e1', atMs: NOW, connected: true, messages: 7, waiting: 3, wallDriftMs: 0,
  outbox: { filled: 0.1, dropped: 0, givenUp: 0, writable: true },
  uplinks: [{ name: 'office', connected: true, waiting: 3, trouble: null, certificateUntilMs: NOW + 90 * 86_400_000, tokenUntilMs: null, setAside: 0, setAsideWhy: null }],
  refusals: { latest: [{ atMs: NOW, topic: 'x', reason: 'unknown-topic', detail: 'nobody', sample: '1', bytes: 1 }], counts: { 'unknown-topic': 1 } },
  arriving: [{ topic: 'line/pt-101', count: 7, perMinute: 60, lastAtMs: NOW, sample: '{}', bytes: 2, form: 'json', feeds: ['rig-a/supply-pressure'], trouble: null }],
};

it('what a gateway elsewhere tells is there to be read, and what somebody has to see to is an alarm', async () => {
  const { server, call, signIn: signInAs } = await testServer();
  const bearer = { authorization: `Bearer ${await server.accounts.tokens.add('pier-9', 'gateway')}` };
  const cookie = await signInAs('supervisor');
  const get = async (path: string): Promise<any> => (await call('GET', path, { cookie })).json();
  const tell = async (change: Partial<GatewayReport>): Promise<number> => (await call('POST', '/api/uplink/pier-9/report', { body: { ...REPORT, ...change }, headers: bearer })).status;
  expect((await call('GET', '/api/sites/pier-9/arriving', { cookie })).status).toBe(404);
  expect(await tell({})).toBe(200);
  expect((await get('/api/sites/pier-9/arriving')).items).toMatchObject([{ topic: 'line/pt-101', form: 'json', feeds: ['rig-a/supply-pressure'], at: new Date(NOW).toISOString() }]);
  expect(await get('/api/sites/pier-9/gateway')).toMatchObject({ gateway: 'g1', waiting: 3, missing: 0, uplinks: [{ name: 'office', certificateUntil: new Date(NOW + 90 * 86_400_000).toISOString() }] });
  expect((await call('POST', '/api/uplink/pier-9/report', { body: REPORT, cookie })).status).toBe(403);
  expect((await call('GET', '/api/sites/pier-9/arriving', { headers: bearer })).status).toBe(403);

  const standing = (): string[] => [...(server.writer('pier-9')?.state.alarms() ?? [])].flatMap(({ bound, track }) => (track.occurrence ? [`${bound.rule.name} ${track.occurrence.state}`] : []));
  await tell({ outbox: { ...REPORT.outbox, dropped: 0 } });
  // Looked at once before it drops, so that it is a drop and not a gateway that had dropped long ago.
  await until(async () => { await tell({ outbox: { ...REPORT.outbox, filled: 0.97 } }); return standing().some((one) => one === 'outbox-full unacknowledged'); }, 'the alarm of a full outbox', 15_000);
  await tell({ uplinks: [{ ...(REPORT.uplinks[0] as GatewayReport['uplinks'][number]), certificateUntilMs: NOW + 5 * 86_400_000 }] });
  await until(() => standing().includes('certificate-ending unacknowledged') && standing().includes('outbox-full returned-to-normal-unacknowledged'), 'the alarm of the certificate, and room again', 15_000);
  await tell({ uplinks: [{ ...(REPORT.uplinks[0] as GatewayReport['uplinks'][number]), tokenUntilMs: NOW + 3 * 86_400_000, setAside: 4, setAsideWhy: 'the server refused: 400 readings.0.owner' }], outbox: { ...REPORT.outbox, dropped: 12 } });
  await until(() => standing().includes('readings-set-aside unacknowledged'), 'the alarm of readings that a server refuses', 15_000);
  const metrics = await (await call('GET', '/api/metrics', { cookie })).text();
  for (const line of ['potside_set_aside_readings_total{site="pier-9"} 4', 'potside_outbox_dropped_readings_total{site="pier-9"} 12', 'potside_refused_values_total{site="pier-9"} 1', `potside_gateway_end_seconds{site="pier-9"} ${(NOW + 3 * 86_400_000) / 1000}`]) expect(metrics).toContain(line);
  // The gateway's wall clock was set two hours ahead.
  await tell({ wallDriftMs: 7_200_000 });
  await until(() => standing().some((one) => one.startsWith('clock-off')), 'the clock', 15_000);
});

it('in one process the same is asked of the gateway itself', async () => {
  const dataDir = tempDir();
  writeFileSync(join(dataDir, 'site.yaml'), SITE_YAML);
  addSupervisor(dataDir);
  const potside = await startPotside('serve', '--config', join(dataDir, 'site.yaml'), '--data', dataDir, '--port', '0', '--mqtt-port', '0');
  const client = await signIn(potside.ready.url);
  mosquittoPub(potside.mqttPort, 'line/pt-101', '{"pressure": 101.5}');
  mosquittoPub(potside.mqttPort, 'line/pt-102', '3');
  const { items } = await client.get('/api/sites/pier-9/arriving');
  expect(items).toMatchObject([{ topic: 'line/pt-101', feeds: ['rig-a/supply-pressure'], trouble: null }, { topic: 'line/pt-102', form: 'number', feeds: [], trouble: expect.stringMatching(/^unknown-topic/) }]);
  expect(await client.get('/api/sites/pier-9/gateway')).toMatchObject({ connected: true, messages: 2, outbox: { dropped: 0, writable: true }, uplinks: [{ name: 'here', connected: true }] });
});

it('a dry run explains a configuration against live traffic and stores nothing', async () => {
  const dir = tempDir();
  writeFileSync(join(dir, 'site.yaml'), SITE_YAML);
  const holder = createServer().listen(0, '127.0.0.1');
  await once(holder, 'listening');
  const { port } = holder.address() as { port: number };
  await new Promise((resolve) => holder.close(resolve));
  const run = async (...more: string[]): Promise<string> => {
    const child = spawn(process.execPath, ['dist/cli/main.js', 'gateway', '--config', join(dir, 'site.yaml'), '--data', join(dir, 'data'), '--mqtt-port', String(port), '--dry-run', '--for', '600', ...more], { stdio: ['ignore', 'pipe', 'pipe'] });
    let [out, said] = ['', ''];
    child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()));
    await until(() => said.includes('nothing is stored'), 'the dry run to listen', 20_000);
    mosquittoPub(String(port), 'potside/pier-9/rig-a/breathing-air-co', '3.5');
    mosquittoPub(String(port), 'line/pt-10l', '{"pressure": 101.5}');
    child.kill('SIGINT');
    if (child.exitCode === null) await once(child, 'exit');
    return out;
  };
  expect(JSON.parse(await run('--json'))).toMatchObject({ topics: [{ topic: 'line/pt-10l', feeds: [], trouble: expect.stringMatching(/^unknown-topic/) }, { topic: 'potside/pier-9/rig-a/breathing-air-co', feeds: ['rig-a/breathing-air-co'] }], silent: ['rig-a/supply-pressure (line/pt-101)'] });
  const text = await run();
  expect(text).toMatch(/line\/pt-10l +json +1 +refused, unknown-topic: no point is mapped/);
  expect(text).toMatch(/Configured, but nothing was heard:\n {2}rig-a\/supply-pressure \(line\/pt-101\)/);
});
