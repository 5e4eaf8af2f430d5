import { expect, it } from 'vitest';
import { NOW, testServer } from '../support/server.ts';

it('tells when a bump test and a calibration were last done, by whom, and when they are due', async () => {
  const { call, clock, send, signIn } = await testServer();
  const cookie = await signIn('tender');
  await send({ 'breathing-air-co': 2, 'breathing-air-pressure': 60 });
  const due = async (entry: string): Promise<unknown> => ((await (await call('GET', '/api/rigs/rig-a/due', { cookie })).json()) as { items: { entry: string }[] }).items.find((item) => item.entry === entry);
  expect(await due('bump-done')).toMatchObject({ point: 'breathing-air-co', doneAt: null, dueAt: null, overdue: false });
  expect((await call('POST', '/api/rigs/rig-a/entries', { cookie, body: { kind: 'calibration-done', text: 'certificate 4711' } })).status).toBe(200);
  expect(await due('calibration-done')).toMatchObject({ every: { value: 720, unit: 'h' }, doneAt: new Date(NOW).toISOString(), doneBy: 'the tender', dueAt: new Date(NOW + 720 * 3_600_000).toISOString(), overdue: false });
  expect(await due('bump-done')).toMatchObject({ doneAt: null });
  clock.set(NOW + 4 * 3_600_000);
  expect(await due('calibration-done')).toMatchObject({ overdue: false });
  expect((await call('GET', '/api/rigs/rig-z/due', { cookie })).status).toBe(404);
});
