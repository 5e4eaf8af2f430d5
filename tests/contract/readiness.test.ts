import { describe, expect, it } from 'vitest';
import { NOW, type TestServer, testServer } from '../support/server.ts';

const json = async (response: Response): Promise<any> => response.json();
const path = '/api/rigs/rig-a/readiness';

async function withShift(): Promise<TestServer & { tender: string; supervisor: string; post: (what: string, body?: unknown, cookie?: string, headers?: Record<string, string>) => Promise<Response> }> {
  const test = await testServer();
  const [tender, supervisor] = [await test.signIn('tender'), await test.signIn('supervisor')];
  await test.call('POST', '/api/shifts', { cookie: supervisor, body: { rig: 'rig-a' } });
  return { ...test, tender, supervisor, post: (what, body, cookie = tender, headers = {}) => test.call('POST', `${path}/${what}`, { cookie, headers, ...(body === undefined ? {} : { body }) }) };
}

describe('the check of a rig over the API', () => {
  it('tells the steps, what is in the way and what would undo them', async () => {
    const test = await withShift();
    const check = await json(await test.call('GET', path, { cookie: test.tender }));
    expect(check.result).toMatchObject({ state: 'not-ready', text: 'not ready, because Permits, people, ground: not signed yet; and 11 more' });
    expect(check.steps.filter((step: any) => step.sequence === 'before')).toHaveLength(12);
    expect(check.steps.find((step: any) => step.id === 'handle')).toMatchObject({ state: 'open', waitsFor: ['hoses', 'pressure', 'dress'], signed: null, again: expect.arrayContaining(['a break of an hour or more']) });
    expect(check.events.map((event: any) => event.id)).toContain('compressor-restart');
    expect((await test.call('GET', '/api/rigs/nowhere/readiness', { cookie: test.tender })).status).toBe(404);
  });

  it('takes a signature once by its key, tells the journal and the history, and refuses with the reason', async () => {
    const test = await withShift();
    const tap = { 'idempotency-key': 'tap-hoses-1' };
    const answers = await Promise.all([1, 2, 3].map(() => test.post('sign', { step: 'hoses', note: 'nozzle 11.2 mm' }, test.tender, tap)));
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200]);
    const refused = await test.post('sign', { step: 'pressure' });
    expect(refused.status).toBe(409);
    expect(await json(refused)).toMatchObject({ detail: 'first: Pot at rest' });
    const check = await json(await test.call('GET', path, { cookie: test.tender }));
    expect(check.steps.find((step: any) => step.id === 'hoses')).toMatchObject({ state: 'done', signed: { at: new Date(NOW).toISOString(), by: 'the tender', role: 'tender', note: 'nozzle 11.2 mm' } });
    expect(check.history.map((item: any) => item.text)).toEqual(['Pressure on, slowly: signed by the tender, refused: first: Pot at rest', 'Hoses, control line, nozzle: signed (nozzle 11.2 mm) by the tender']);
    const journal = (await json(await test.call('GET', '/api/journal?rig=rig-a', { cookie: test.tender }))).items;
    expect(journal.filter((item: any) => item.detail.kind === 'ready-sign' && item.detail.refusal === null)).toHaveLength(1);
  });

  it('is signed by tender and supervisor, released by a supervisor, read by all who may watch', async () => {
    const test = await withShift();
    for (const role of ['viewer', 'manager', 'safety-officer', 'administrator']) {
      const cookie = await test.signIn(role);
      expect([role, (await test.call('GET', path, { cookie })).status]).toEqual([role, 200]);
      for (const [what, body] of [['sign', { step: 'hoses' }], ['fail', { step: 'hoses' }], ['again', { event: 'moved' }], ['begin', { sequence: 'shutdown' }], ['hold', {}], ['release', undefined]] as const) expect([role, what, (await test.post(what, body, cookie)).status]).toEqual([role, what, 403]);
    }
    expect((await test.post('release', undefined, test.tender)).status).toBe(403);
    const early = await test.post('release', undefined, test.supervisor);
    expect([early.status, (await json(early)).detail]).toEqual([409, 'not ready, because Permits, people, ground: not signed yet; and 11 more']);
    expect((await test.post('sign', { step: 'ground' }, test.supervisor)).status).toBe(200);
  });

  it('refuses what it does not know, naming it', async () => {
    const test = await withShift();
    for (const [what, body, field] of [['again', { event: 'lunch' }, 'event'], ['hold', { volume: '3 psi' }, 'volume'], ['begin', { sequence: 'after' }, 'sequence'], ['sign', { step: 'hoses', by: 'somebody else' }, 'by']] as const) {
      const answer = await test.post(what, body);
      expect([what, answer.status]).toEqual([what, 400]);
      expect(JSON.stringify(await json(answer))).toContain(field);
    }
    expect((await json(await test.post('sign', { step: 'lunch' }))).detail).toBe('there is no step "lunch"');
  });

  it('needs an open shift, and is the same after a restart, a running hold test too', async () => {
    const first = await withShift();
    for (const step of ['ground', 'vessel', 'hoses']) expect((await first.post('sign', { step })).status).toBe(200);
    await first.post('fail', { step: 'hoses', text: 'a pin is missing' });
    await first.send({ 'supply-pressure': 100 });
    expect((await first.post('hold', { volume: '2ft3' })).status).toBe(200);
    const before = await json(await first.call('GET', path, { cookie: first.tender }));
    expect(before).toMatchObject({ hold: { from: 100, ended: null, of: 60 } });
    await first.server.stop();
    const again = await testServer(first.dataDir, first.clock);
    expect(await json(await again.call('GET', path, { cookie: first.tender }))).toEqual(before);
    const none = await again.call('POST', '/api/rigs/rig-b/readiness/sign', { cookie: first.tender, body: { step: 'ground' } });
    expect([none.status, (await json(none)).detail]).toEqual([409, 'no shift is open on this rig, and the check belongs to one: start it first']);
  });
});
