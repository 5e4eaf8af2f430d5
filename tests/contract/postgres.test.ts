import { expect, it } from 'vitest';
import { SettableClock } from '../../host/clock.ts';
import { POSTGRES_BIN } from '../support/postgres.ts';
import { until } from '../support/quiet.ts';
import { NOW, testServer } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { databaseAt } from '../support/stores.ts';
import { tempDir } from '../support/temp-dir.ts';

it.skipIf(POSTGRES_BIN === null)('a server on PostgreSQL keeps people, alarms, shifts, seals and the trail, also over a restart', async () => {
  const [database, dir, clock] = [await databaseAt('server'), tempDir(), new SettableClock(NOW)];
  const start = () => testServer(dir, clock, 0, [testSite()], { database });
  const first = await start();
  const supervisor = await first.signIn('supervisor');
  const officer = await first.signIn('safety-officer');
  const admin = await first.signIn('administrator');
  expect((await first.call('POST', '/api/session', { body: { name: 'the supervisor', password: 'wrong' } })).status).toBe(401);
  const key = (name: string): Record<string, string> => ({ 'idempotency-key': `key-${name}` });
  const post = async (server: typeof first, path: string, cookie: string, body: unknown, name: string): Promise<Record<string, unknown>> => {
    const response = await server.call('POST', path, { cookie, body, headers: key(name) });
    const answer = (await response.json()) as Record<string, unknown>;
    expect([path, response.status < 300, answer]).toEqual([path, true, answer]);
    return answer;
  };
  const { id } = await post(first, '/api/shifts', supervisor, { rig: 'rig-a', crew: [{ name: 'Ray Ünal', job: 'blaster' }], setup: undefined }, 'start-0001');
  await first.send({ 'breathing-air-co': 3, 'supply-pressure': 101 });
  clock.set(NOW + 1_000);
  await first.send({ 'breathing-air-co': 15 });
  const alarms = (await (await first.call('GET', '/api/alarms', { cookie: officer })).json()) as { items: { id: string; name: string }[] };
  const co = alarms.items.find(({ name }) => name === 'co-high');
  await post(first, `/api/alarms/${encodeURIComponent(co?.id ?? '')}/acknowledge`, officer, undefined, 'ack-00001');
  await post(first, `/api/shifts/${String(id)}/notes`, supervisor, { text: 'Dichtung 100 % neu, \u0000 und mehr' }, 'note-0001');
  clock.set(NOW + 60_000);
  await post(first, `/api/shifts/${String(id)}/end`, supervisor, undefined, 'end-00001');
  await post(first, `/api/shifts/${String(id)}/sign-off`, supervisor, { meaning: 'checked and complete' }, 'sign-0001');
  await post(first, `/api/shifts/${String(id)}/sign-off`, officer, { meaning: 'approved' }, 'sign-0002');
  const shiftOf = async (server: typeof first, cookie: string): Promise<Record<string, unknown>> => (await (await server.call('GET', `/api/shifts/${String(id)}`, { cookie })).json()) as Record<string, unknown>;
  await until(async () => (await shiftOf(first, supervisor))['state'] === 'sealed', 'the seal', 30_000);
  const before = await shiftOf(first, supervisor);
  const journal = await (await first.call('GET', '/api/journal', { cookie: officer })).json();
  await first.server.stop();

  const again = await start();
  // The session lives in the database, not in the program.
  expect(await shiftOf(again, supervisor)).toEqual(before);
  expect(await (await again.call('GET', '/api/journal', { cookie: officer })).json()).toEqual(journal);
  const found = async (search: string): Promise<number> => ((await (await again.call('GET', `/api/shifts?search=${encodeURIComponent(search)}`, { cookie: supervisor })).json()) as { items: unknown[] }).items.length;
  expect([await found('ray Ünal'), await found('100 %'), await found('dichtung'), await found('nozzleBore'), await found('nobody')]).toEqual([1, 1, 1, 0, 0]);
  const zip = await again.call('GET', `/api/shifts/${String(id)}/record.zip`, { cookie: supervisor });
  expect([zip.status, (await zip.arrayBuffer()).byteLength > 10_000]).toEqual([200, true]);
  const trace = (await (await again.call('GET', `/api/shifts/${String(id)}/trace?points=breathing-air-co`, { cookie: supervisor })).json()) as { series: { max: (number | null)[] }[] };
  expect(Math.max(...(trace.series[0]?.max ?? []).map((value) => value ?? 0))).toBe(15);
  const verdict = (await (await again.call('GET', '/api/audit/verify', { cookie: admin })).json()) as { intact: boolean; rows: number };
  expect([verdict.intact, verdict.rows > 10]).toEqual([true, true]);
  await expect(again.server.accounts.base.sql.run("UPDATE audit SET by = 'nobody' WHERE seq = 1")).rejects.toThrow('only ever added to');
});
