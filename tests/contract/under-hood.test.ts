import { expect, it } from 'vitest';
import { NOW, testServer } from '../support/server.ts';

const json = async (response: Response): Promise<any> => response.json();

it('what a person breathed goes with them from rig to rig, and survives a restart', async () => {
  const first = await testServer();
  const cookie = await first.signIn('supervisor');
  const hood = (what: string, rig: string): Promise<Response> => first.call('POST', `/api/rigs/${rig}/${what}`, { cookie, body: { name: 'Ray' } });
  await first.send({ 'breathing-air-co': 8 });
  expect((await hood('hood-in', 'rig-a')).status).toBe(200);
  for (let second = 1; second <= 300; second += 1) {
    first.clock.set(NOW + second * 1000);
    await first.send({ 'breathing-air-co': 8 });
  }
  const [ray] = (await json(await first.call('GET', '/api/rigs/rig-a/under-hood', { cookie }))).items;
  expect(ray).toMatchObject({ name: 'Ray', since: '2026-06-01T12:00:00.000Z', highest: 8 });
  // Five minutes at 8 ppm: a third of a quarter of an hour, and 5/480 of eight hours (29 CFR 1910.1000(d)(1)(i)).
  expect(ray.average15min).toBeCloseTo(8 / 3, 0);
  expect(ray.average8h).toBeCloseTo((8 * 5) / 480, 1);
  expect(ray.carboxyhaemoglobin).toBeGreaterThan(0.75);
  await hood('hood-out', 'rig-a');
  await hood('hood-in', 'rig-b');
  expect((await json(await first.call('GET', '/api/rigs/rig-a/under-hood', { cookie }))).items).toEqual([]);
  const before = (await json(await first.call('GET', '/api/rigs/rig-b/under-hood', { cookie }))).items;
  expect(before[0]).toMatchObject({ name: 'Ray', highest: 8 });
  await first.server.stop();
  const again = await testServer(first.dataDir, first.clock);
  expect((await json(await again.call('GET', '/api/rigs/rig-b/under-hood', { cookie }))).items).toEqual(before);
});
