import { expect, it } from 'vitest';
import { NOW, testServer } from '../support/server.ts';

it('recorded shifts are re-judged, what is better is proposed, and an administrator puts it into force for good', async () => {
  const first = await testServer();
  const { call, clock, send, signIn, dataDir } = first;
  const supervisor = await signIn('supervisor');
  const administrator = await signIn('administrator');
  const answer = async (path: string, cookie: string, body?: unknown): Promise<any> => (await call(body === undefined ? 'GET' : 'POST', path, { cookie, body })).json();
  await send({ 'breathing-air-co': 2, 'supply-pressure': 105 });
  const shift = await answer('/api/shifts', supervisor, { rig: 'rig-a' });
  for (let second = 1; second <= 60; second += 1) {
    clock.set(NOW + second * 1000);
    await send({ 'breathing-air-co': second > 20 && second < 30 ? 11 : 2 });
  }
  const judged = await answer(`/api/shifts/${shift.id}/rejudge`, supervisor, { alarms: { 'co-high': { limit: '12ppm' } } });
  const names = (side: { alarms: { name: string }[] }): string[] => side.alarms.map(({ name }) => name);
  expect(names(judged.before)).toContain('co-high');
  expect(judged.before.alarms.find(({ name }: { name: string }) => name === 'co-high')).toMatchObject({ rig: 'rig-a', priority: 'critical', raisedAt: new Date(NOW + 21_000).toISOString(), clearedAt: null, audible: true });
  expect(names(judged.after)).not.toContain('co-high');
  expect(judged.before.counts.critical).toBe(1);
  expect(judged.speed).toBeGreaterThan(0);

  const wrong = await call('POST', `/api/shifts/${shift.id}/rejudge`, { cookie: supervisor, body: { alarms: { 'co-high': { limit: '12 bar' }, 'no-such': {} } } });
  expect(wrong.status).toBe(400);
  expect((await wrong.json() as any).detail).toMatch(/alarms\.co-high\.limit: .*alarms\.no-such: no alarm of this name/s);

  const proposal = await answer('/api/proposals', supervisor, { site: 'pier-9', alarms: { 'co-high': { limit: '12ppm' } }, reason: 'the cell reads one too many', shifts: [shift.id], before: judged.before, after: judged.after });
  expect((await answer('/api/proposals', supervisor)).items).toMatchObject([{ id: proposal.id, by: 'the supervisor', inForce: null, before: { counts: judged.before.counts } }]);
  expect((await call('POST', `/api/proposals/${proposal.id}/put-into-force`, { cookie: supervisor })).status).toBe(403);
  expect((await answer(`/api/proposals/${proposal.id}/put-into-force`, administrator, {})).inForce).toMatchObject({ by: 'the administrator' });
  expect((await call('POST', `/api/proposals/${proposal.id}/put-into-force`, { cookie: administrator })).status).toBe(409);
  const [entry] = (await answer('/api/journal', supervisor)).items.filter(({ kind }: { kind: string }) => kind === 'config');
  expect(entry.text).toMatch(/by the administrator: co-high limit from as shipped to 12, because: the cell reads one too many/);

  // The unchanged file does not undo it at the next start.
  await first.server.stop();
  const again = await testServer(dataDir, clock);
  expect(again.server.writer('pier-9')?.state.config?.alarms).toEqual({ 'co-high': { limit: 12 } });
});
