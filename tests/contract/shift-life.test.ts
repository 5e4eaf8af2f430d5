import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { NOW, testServer, type TestServer } from '../support/server.ts';

const json = async (response: Response): Promise<any> => response.json();
const JPEG = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3]);

async function started(server: TestServer, cookie: string, body: object = {}): Promise<any> {
  const response = await server.call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a', ...body } });
  expect(response.status).toBe(201);
  return json(response);
}

async function addPhoto(server: TestServer, cookie: string, id: string, bytes: Buffer, type: string): Promise<Response> {
  return fetch(`${server.server.url}/api/shifts/${id}/photos`, { method: 'POST', headers: { cookie, 'content-type': type }, body: new Uint8Array(bytes) });
}

describe('a shift over the API', () => {
  it('holds crew, setup, calibrations, handover, notes with photos and entries, with who and when, over a restart', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const tender = await server.signIn('tender');
    const setup = { nozzleBore: { value: 0.4375, unit: '[in_i]' }, hoseLength: { value: 50, unit: '[ft_i]' }, abrasive: 'garnet 30/60, lot 4' };
    const shift = await started(server, cookie, { crew: [{ name: 'Ray', job: 'blaster' }], setup, calibrations: [{ point: 'rig-a/breathing-air-co', certificate: 'C-17', done: '2026-05-01', due: '2026-11-01' }] });
    expect(shift).toMatchObject({ site: 'pier-9', rig: 'rig-a', state: 'open', startedBy: 'the supervisor', drill: false, replay: false, crew: [{ name: 'Ray', job: 'blaster' }], setup: { ...setup, hoseBore: null, respirator: '' }, seal: null });
    const at = `/api/shifts/${shift.id}`;
    server.clock.set(NOW + 60_000);
    const photo = await addPhoto(server, tender, shift.id, JPEG, 'image/jpeg');
    const { id: photoId } = await json(photo);
    expect([photo.status, photoId]).toEqual([201, createHash('sha256').update(JPEG).digest('hex')]);
    await server.call('POST', `${at}/notes`, { cookie: tender, body: { text: 'gasket changed', placedAt: '2026-06-01T07:00:30-05:00', point: 'nozzle-pressure', photo: photoId } });
    await server.call('POST', '/api/rigs/rig-a/entries', { cookie: tender, body: { kind: 'needle', value: 6.5, unit: 'bar', place: 'nozzle 1' } });
    const held = await json(await server.call('POST', `${at}/handover`, { cookie, body: { to: 'lee', text: 'pot half full' } }));
    expect(held.handovers).toEqual([{ at: '2026-06-01T12:01:00.000Z', by: 'the supervisor', to: 'lee', text: 'pot half full' }]);
    expect(held.notes).toEqual([{ id: expect.stringMatching(/^pier-9-\d+-\d+$/), at: '2026-06-01T12:01:00.000Z', by: 'the tender', text: 'gasket changed', placedAt: '2026-06-01T12:00:30.000Z', point: 'nozzle-pressure', photo: photoId }]);
    await server.call('POST', `${at}/corrections`, { cookie, body: { of: held.notes[0].id, text: 'it was the washer' } });
    await server.server.stop();

    const again = await testServer(server.dataDir, server.clock);
    const read = await json(await again.call('GET', at, { cookie }));
    expect(read).toEqual({ ...held, corrections: [{ at: '2026-06-01T12:01:00.000Z', by: 'the supervisor', of: held.notes[0].id, text: 'it was the washer' }] });
    expect((await json(await again.call('GET', `${at}/entries`, { cookie }))).items).toEqual([{ id: expect.any(String), at: '2026-06-01T12:01:00.000Z', by: 'the tender', kind: 'needle', value: 94.3, second: null, unit: '[psi]', place: 'nozzle 1', text: '' }]);
    const picture = await again.call('GET', `${at}/photos/${photoId}`, { cookie });
    expect([picture.headers.get('content-type'), Buffer.from(await picture.arrayBuffer()).equals(JPEG)]).toEqual(['image/jpeg', true]);
  });

  it('does each action once by its key, and says it in the journal', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const { id } = await started(server, cookie);
    const note = () => server.call('POST', `/api/shifts/${id}/notes`, { cookie, body: { text: 'once' }, headers: { 'idempotency-key': 'tap-0001' } });
    await note();
    expect((await json(await note())).notes).toHaveLength(1);
    await server.call('PUT', `/api/shifts/${id}/setup`, { cookie, body: { abrasive: 'slag' } });
    await server.call('POST', `/api/shifts/${id}/end`, { cookie });
    const texts = (await json(await server.call('GET', '/api/journal', { cookie }))).items.filter((item: any) => item.kind === 'action').map((item: any) => item.text);
    expect(texts.toReversed()).toEqual(['shift started by the supervisor', 'note: once by the supervisor', `setup changed, ${id} by the supervisor`, 'shift ended by the supervisor']);
  });

  it('computes with the nozzle that is fitted, not with the one in the configuration', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const flow = async (): Promise<number> => {
      server.clock.set(server.clock.nowMs() + 2_000);
      await server.send({ 'nozzle-pressure': 100, 'supply-pressure': 110 });
      server.clock.set(server.clock.nowMs() + 2_000);
      await server.send({ 'nozzle-pressure': 100, 'supply-pressure': 110 });
      return (await json(await server.call('GET', '/api/rigs/rig-a/points', { cookie }))).items.find((point: any) => point.id === 'nozzle-air-flow').value;
    };
    const asConfigured = await flow();
    const { id } = await started(server, cookie, { setup: { nozzleBore: { value: 0.5, unit: '[in_i]' } } });
    // 7/16 in is configured: the area, and with it the flow, goes with the square of the bore.
    expect((await flow()) / asConfigured).toBeCloseTo((8 / 7) ** 2, 2);
    await server.call('POST', `/api/shifts/${id}/end`, { cookie });
    expect(await flow()).toBe(asConfigured);
  });

  it('forgets the baseline of the line when the setup changes', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const { id } = await started(server, cookie);
    await server.send({ 'nozzle-pressure': 95, 'supply-pressure': 110 });
    server.clock.set(NOW + 2_000);
    await server.send({ 'nozzle-pressure': 95, 'supply-pressure': 110 });
    await server.call('POST', '/api/rigs/rig-a/entries', { cookie, body: { kind: 'needle', value: 95 } });
    const baseline = () => server.server.writer('pier-9')?.state.situation('rig-a').baseline ?? null;
    expect(baseline()).not.toBeNull();
    await server.call('PUT', `/api/shifts/${id}/setup`, { cookie, body: { nozzleBore: { value: 0.5, unit: '[in_i]' } } });
    expect(baseline()).toBeNull();
  });

  it('is found again by what is written on it, page by page', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const ids: string[] = [];
    for (let turn = 0; turn < 5; turn += 1) {
      server.clock.set(NOW + turn * 600_000);
      const { id } = await started(server, cookie, { crew: [{ name: turn === 3 ? 'Ray' : 'Kim', job: 'blaster' }] });
      ids.unshift(id);
      if (turn === 1) await server.call('POST', `/api/shifts/${id}/notes`, { cookie, body: { text: 'rain from noon, 50% done' } });
      await server.call('POST', `/api/shifts/${id}/end`, { cookie });
    }
    const list = async (query: string): Promise<string[]> => (await json(await server.call('GET', `/api/shifts?${query}`, { cookie }))).items.map((item: any) => item.id);
    expect(await list('')).toEqual(ids);
    expect(await list('search=ray')).toEqual([ids[1]]);
    expect(await list('search=noon%20kim')).toEqual([ids[3]]);
    expect(await list('search=50%25')).toEqual([ids[3]]);
    expect(await list('search=name')).toEqual([]);
    expect(await list(`from=${new Date(NOW + 600_000).toISOString()}&to=${new Date(NOW + 3 * 600_000).toISOString()}`)).toEqual([ids[2], ids[3]]);
    expect(await list('state=sealed')).toEqual([]);
    const paged: string[] = [];
    for (let next: string | null = ''; next !== null; ) {
      const page: any = await json(await server.call('GET', `/api/shifts?limit=2${next ? `&cursor=${next}` : ''}`, { cookie }));
      paged.push(...page.items.map((item: any) => item.id));
      next = page.next;
    }
    expect(paged).toEqual(ids);
  });
});

describe('what is refused', () => {
  it.each<[string, string, string, string, unknown, number]>([
    ['a viewer’s note', 'viewer', 'POST', 'notes', { text: 'x' }, 403],
    ['a tender’s signature', 'tender', 'POST', 'sign-off', { meaning: 'approved' }, 403],
    ['a signature that means nothing', 'supervisor', 'POST', 'sign-off', { meaning: 'seen' }, 400],
    ['a signature under an open shift', 'supervisor', 'POST', 'sign-off', { meaning: 'approved' }, 409],
    ['a bore in psi', 'supervisor', 'PUT', 'setup', { nozzleBore: { value: 1, unit: '[psi]' } }, 409],
    ['a note with a photo of another shift', 'supervisor', 'POST', 'notes', { text: 'x', photo: 'ab' }, 404],
    ['an empty note', 'supervisor', 'POST', 'notes', { text: ' ' }, 400],
  ])('%s', async (_what, role, method, path, body, status) => {
    const server = await testServer();
    const { id } = await started(server, await server.signIn('administrator'));
    expect((await server.call(method, `/api/shifts/${id}/${path}`, { cookie: await server.signIn(role), body })).status).toBe(status);
  });

  it('a photo that is none, or too large', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const { id } = await started(server, cookie);
    expect((await addPhoto(server, cookie, id, Buffer.from('<svg>'), 'image/png')).status).toBe(400);
    expect((await addPhoto(server, cookie, id, JPEG, 'image/png')).status).toBe(400);
    expect((await addPhoto(server, cookie, id, JPEG, 'image/svg+xml')).status).toBe(415);
    expect((await addPhoto(server, cookie, id, Buffer.concat([JPEG, Buffer.alloc(5 * 1024 * 1024)]), 'image/jpeg')).status).toBe(413);
  });
});
