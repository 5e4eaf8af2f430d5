import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Language } from '../../domain/shift/language.ts';
import type { NotifyConfig } from '../../domain/shift/server-config.ts';
import { SettableClock } from '../../host/clock.ts';
import type { Sql } from '../../host/sql.ts';
import { Accounts } from '../../server/access/accounts.ts';
import type { SiteWriter } from '../../server/intake/site-writer.ts';
import type { Channel, Message, Outcome } from '../../server/notify/channel.ts';
import { Contacts } from '../../server/notify/contacts.ts';
import { Dispatcher } from '../../server/notify/dispatcher.ts';
import { NoticeStore } from '../../server/notify/notice-store.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW, PASSWORD } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { openStoreAt, STORES, type StoreKind } from '../support/stores.ts';
import { tempDir } from '../support/temp-dir.ts';

const PLAN: NotifyConfig = {
  smtp: null,
  webhooks: [],
  plans: { critical: [{ afterMs: 0, to: [{ kind: 'role', id: 'safety-officer' }] }, { afterMs: 30_000, to: [{ kind: 'role', id: 'manager' }] }], high: [{ afterMs: 0, to: [{ kind: 'role', id: 'safety-officer' }] }], medium: [{ afterMs: 0, to: [{ kind: 'role', id: 'safety-officer' }] }] },
  lastWaitMs: 30_000,
  repeatMs: null,
  rotas: {},
  ownHosts: [],
  caFile: null,
};

const accepted: Outcome = { kind: 'accepted', detail: 'ok' };

async function openOutbox(kind: StoreKind, options: { email?: (message: Message) => Promise<Outcome>; webhook?: (message: Message) => Promise<Outcome>; plan?: Partial<NotifyConfig>; quiet?: boolean; language?: Partial<Record<'olga' | 'max', Language>>; siteLanguage?: Language } = {}) {
  const { store, sql: record } = await openStoreAt(kind, join(tempDir(), 'record.db'));
  const { sql, settled } = watched(record);
  const clock = new SettableClock(NOW);
  const accounts = new Accounts(sql, clock);
  const contacts = new Contacts(accounts.base);
  const notices = new NoticeStore(sql);
  const doer = { by: 'test', role: 'administrator', address: 'test' };
  for (const [name, role] of [['olga', 'safety-officer'], ['max', 'manager']] as const) {
    await accounts.addUser(name, role, PASSWORD);
    await contacts.set(name, { email: `${name}@example.test`, quiet: options.quiet ? { fromMin: 0, toMin: 1439 } : null, language: options.language?.[name] ?? null }, doer);
  }
  const site = { acknowledgedAtMs: null as number | null, floodSinceMs: null as number | null, isOver: false };
  const built = testSite();
  const config = { ...built, site: { ...built.site, language: options.siteLanguage ?? 'en' }, notify: { ...PLAN, ...options.plan } };
  const state = {
    config,
    get flood() {
      return { sinceMs: site.floodSinceMs, raisedAtMs: [] };
    },
    findAlarm: () => (site.isOver ? undefined : { track: { occurrence: { state: 'unacknowledged', acknowledgedAtMs: site.acknowledgedAtMs, acknowledgedBy: 'olga' } } }),
  };
  const sent: { channel: string; target: string; message: Message; atMs: number }[] = [];
  const channel = (name: string, how: (message: Message) => Promise<Outcome>): Channel => ({
    send: (target, message) => {
      sent.push({ channel: name, target, message, atMs: clock.nowMs() });
      return how(message);
    },
    close: () => undefined,
  });
  const channels = { email: channel('email', options.email ?? (() => Promise.resolve(accepted))), webhook: channel('webhook', options.webhook ?? (() => Promise.resolve(accepted))), push: null };
  const startDispatcher = (): Dispatcher => {
    const dispatcher = new Dispatcher({ notices, accounts, contacts, writers: new Map([['pier-9', { siteId: 'pier-9', state, isOurs: true } as unknown as SiteWriter]]), underLease: (_site, act) => act(), channelOf: (_site, name) => channels[name], clock, log: QUIET, chance: () => 0 });
    onTestFinished(() => dispatcher.stop());
    return dispatcher;
  };
  onTestFinished(() => store.close());
  let n = 0;
  const raise = async (priority: 'critical' | 'high' | 'medium', isAir = false): Promise<string> => {
    const id = `pier-9-${++n}-1/x`;
    await notices.add({ id, site: 'pier-9', alarm: `pier-9-${n}-1`, raisedAtMs: clock.nowMs(), body: { name: 'any', title: `Alarm ${n}`, owner: 'rig-a', priority, isAir, value: 1, limit: 2, unit: '[psi]', response: 'Look.', respondWithin: 'at once' } });
    return id;
  };
  const seal = async (): Promise<string> => {
    const id = `seal/pier-9-${++n}-1`;
    const signOffs = [{ atMs: clock.nowMs(), name: 'dana', role: 'supervisor', meaning: 'approved' as const }];
    await notices.add({ id, site: 'pier-9', raisedAtMs: clock.nowMs(), seal: { shift: `pier-9-${n}-1`, rig: 'rig-a', drill: false, root: 'ab'.repeat(32), key: 'cd'.repeat(32), sealedAtMs: clock.nowMs(), signOffs } });
    return id;
  };
  const tick = async (ms: number, dispatcher: Dispatcher): Promise<void> => {
    clock.set(clock.nowMs() + ms);
    await dispatcher.wake();
    // What was handed over is noted once the record has nothing more to do.
    await settled();
  };
  const states = async (id: string): Promise<string[]> => (await notices.deliveries(id)).map((one) => `${one.step} ${one.person} ${one.state} ${one.attempts}`);
  return { clock, notices, site, sent, accounts, startDispatcher, raise, seal, tick, states };
}

/** The record, and a wait until nobody has asked it anything for some turns of the loop: in a database of its own an answer takes longer than a turn. */
function watched(sql: Sql): { sql: Sql; settled: () => Promise<void> } {
  let asked = 0;
  const counting = <A extends unknown[], R>(ask: (...values: A) => Promise<R>) => async (...values: A): Promise<R> => {
    asked += 1;
    return ask(...values).finally(() => (asked -= 1));
  };
  const settled = async (): Promise<void> => {
    for (let quiet = 0; quiet < 5; quiet = asked === 0 ? quiet + 1 : 0) await new Promise((resolve) => setImmediate(resolve));
  };
  const counted = { all: counting(sql.all.bind(sql)), get: counting(sql.get.bind(sql)), run: counting(sql.run.bind(sql)), transaction: counting(sql.transaction.bind(sql)), lock: counting(sql.lock.bind(sql)) };
  return { sql: counted, settled };
}

describe.each(STORES)('over %s', (kind) => {
  const outbox = (options: Parameters<typeof openOutbox>[1] = {}): ReturnType<typeof openOutbox> => openOutbox(kind, options);

  describe('retries', () => {
    it('pause 2, 5, 15 s and never go past the deadline: then the next step is the way', async () => {
      const box = await outbox({ email: () => Promise.resolve({ kind: 'failed', detail: '451', isFinal: false }) });
      const dispatcher = box.startDispatcher();
      const id = await box.raise('critical');
      for (let second = 0; second <= 29; second += 1) await box.tick(second === 0 ? 0 : 1_000, dispatcher);
      expect(box.sent.map(({ atMs, target }) => [atMs - NOW, target])).toEqual([[0, 'olga@example.test'], [2_000, 'olga@example.test'], [7_000, 'olga@example.test'], [22_000, 'olga@example.test'], [22_000, 'max@example.test'], [24_000, 'max@example.test'], [29_000, 'max@example.test']]);
      expect(await box.states(id)).toEqual(['0 olga dead 4', '1 max waiting 3']);
    });

    it('of a final refusal are none, and the next step begins at once', async () => {
      const box = await outbox({ email: (message) => Promise.resolve(message.id === '' ? accepted : { kind: 'failed', detail: '550', isFinal: true }) });
      const dispatcher = box.startDispatcher();
      const id = await box.raise('critical');
      await box.tick(0, dispatcher);
      await box.tick(100, dispatcher);
      expect(box.sent.map(({ target }) => target)).toEqual(['olga@example.test', 'max@example.test']);
      expect(await box.states(id)).toEqual(['0 olga dead 1', '1 max dead 1']);
      expect(dispatcher.untold('pier-9')).toBeNull();
      await box.tick(30_000, dispatcher);
      expect(dispatcher.untold('pier-9')).toBe('Alarm 1 (rig-a)');
      box.site.acknowledgedAtMs = box.clock.nowMs();
      await box.tick(0, dispatcher);
      expect(dispatcher.untold('pier-9')).toBeNull();
    });
  });

  describe('a server that dies', () => {
    it('between sending and noting sends once more with the same id, and never a third time', async () => {
      // Each send hangs: what the killed server leaves behind is a row that says `sending`.
      const box = await outbox({ email: () => new Promise(() => undefined) });
      const id = await box.raise('high');
      for (let life = 0; life < 4; life += 1) {
        const dispatcher = box.startDispatcher();
        await box.tick(0, dispatcher);
        (dispatcher as unknown as { stop: () => Promise<void> }).stop = () => Promise.resolve();
      }
      expect(box.sent).toHaveLength(2);
      expect(new Set(box.sent.map(({ message }) => message.id)).size).toBe(1);
      expect((await box.notices.deliveries(id))[0]).toMatchObject({ state: 'dead', result: 'the server died twice while sending it: it may have arrived' });
    });

    it('before sending sends when it is back', async () => {
      const box = await outbox();
      const id = await box.raise('high');
      await box.tick(0, box.startDispatcher());
      expect(box.sent).toHaveLength(1);
      expect(await box.states(id)).toEqual(['0 olga accepted 1']);
    });
  });

  describe('a flood', () => {
    it('is one message per person in 30 s; CO is in none of them', async () => {
      const box = await outbox();
      const dispatcher = box.startDispatcher();
      box.site.floodSinceMs = NOW;
      for (let n = 0; n < 50; n += 1) await box.raise('high');
      const co = await box.raise('critical', true);
      await box.tick(0, dispatcher);
      await box.tick(100, dispatcher);
      expect(box.sent.filter(({ message }) => message.kind === 'digest')).toHaveLength(1);
      expect(box.sent.find(({ message }) => message.kind === 'digest')?.message).toMatchObject({ title: '50 alarms at once', alarm: null });
      expect(box.sent.filter(({ message }) => message.kind === 'alarm').map(({ message }) => message.title)).toEqual(['Alarm 51']);
      expect(await box.states(co)).toEqual(['0 olga accepted 1']);
      await box.raise('high');
      await box.tick(5_000, dispatcher);
      expect(box.sent).toHaveLength(2);
      await box.tick(25_000, dispatcher);
      expect(box.sent.filter(({ message }) => message.kind === 'digest')).toHaveLength(2);
    });
  });

  describe('quiet hours', () => {
    it('mute what can wait, never air and never what is critical', async () => {
      const box = await outbox({ quiet: true });
      const dispatcher = box.startDispatcher();
      const [medium, air, critical] = [await box.raise('medium'), await box.raise('high', true), await box.raise('critical')];
      await box.tick(0, dispatcher);
      expect(await Promise.all([medium, air, critical].map(async (id) => (await box.states(id))[0]))).toEqual(['0 olga muted 0', '0 olga accepted 1', '0 olga accepted 1']);
    });
  });

  describe('channels', () => {
    it('are separate: one that hangs holds up nobody else', async () => {
      let letGo = (): void => undefined;
      const hung = new Promise<Outcome>((resolve) => (letGo = () => resolve(accepted)));
      const plan = { webhooks: [{ id: 'ops', url: 'https://ops.example', secretFile: 'x' }], plans: { high: [{ afterMs: 0, to: [{ kind: 'webhook' as const, id: 'ops' }, { kind: 'role' as const, id: 'safety-officer' }] }] } };
      const box = await outbox({ plan, webhook: () => hung });
      const dispatcher = box.startDispatcher();
      for (let n = 0; n < 12; n += 1) await box.raise('high');
      await box.tick(0, dispatcher);
      await until(() => (dispatcher.wake(), box.sent.filter(({ channel }) => channel === 'email').length === 12), 'all mail');
      expect(box.sent.filter(({ channel }) => channel === 'webhook').length).toBe(8);
      letGo();
      await until(() => (dispatcher.wake(), box.sent.filter(({ channel }) => channel === 'webhook').length === 12), 'the others, once there is room');
    });
  });

  describe('the plan', () => {
    it('begins anew until somebody acknowledges, and makes up for nothing after a long stop', async () => {
      const box = await outbox({ plan: { repeatMs: 60_000 } });
      const dispatcher = box.startDispatcher();
      await box.raise('high');
      await box.tick(0, dispatcher);
      await box.tick(60_000, dispatcher);
      expect(box.sent).toHaveLength(2);
      await box.tick(3_600_000, dispatcher);
      await box.tick(100, dispatcher);
      expect(box.sent).toHaveLength(3);
    });
  });

  describe('the language', () => {
    it('is each person’s own, else the site’s, and a program’s is the site’s', async () => {
      const plan = { webhooks: [{ id: 'ops', url: 'https://ops.example', secretFile: 'x' }], plans: { high: [{ afterMs: 0, to: [{ kind: 'role' as const, id: 'safety-officer' }, { kind: 'role' as const, id: 'manager' }, { kind: 'webhook' as const, id: 'ops' }] }] } };
      const box = await outbox({ plan, language: { olga: 'en' }, siteLanguage: 'es' });
      await box.raise('high');
      await box.tick(0, box.startDispatcher());
      const told = new Map(box.sent.map(({ target, message }) => [target, [message.language, message.lines.at(-1)]]));
      expect(told.get('olga@example.test')).toEqual(['en', 'Within: at once']);
      expect(told.get('max@example.test')).toEqual(['es', 'Plazo: enseguida']);
      expect(told.get('ops')).toEqual(['es', 'Plazo: enseguida']);
    });
  });

  describe('a seal', () => {
    it('goes to safety officers, managers and webhooks at once, also in quiet hours and without a plan', async () => {
      const box = await outbox({ quiet: true, plan: { plans: {}, webhooks: [{ id: 'ops', url: 'https://ops.example', secretFile: 'x' }] } });
      const dispatcher = box.startDispatcher();
      const id = await box.seal();
      await box.tick(0, dispatcher);
      await box.tick(0, dispatcher);
      expect(box.sent.map(({ channel, target }) => `${channel} ${target}`).toSorted()).toEqual(['email max@example.test', 'email olga@example.test', 'webhook ops']);
      expect(box.sent[0]?.message).toMatchObject({ kind: 'seal', priority: null, alarm: null });
      await box.tick(0, dispatcher);
      expect(await box.notices.find(id)).toMatchObject({ endedWhy: 'handed over to 3 of 3' });
      expect(await box.accounts.trail.find({ what: 'seal-told', sites: null, limit: 9 })).toMatchObject([{ by: 'potside', subject: 'pier-9-1-1', new: { root: 'ab'.repeat(32) }, why: 'handed over to 3 of 3' }]);
      await box.tick(7 * 86_400_000, dispatcher);
      expect(box.sent).toHaveLength(3);
    });

    it('that nobody takes is tried on for three days, ends, and never counts as nobody told', async () => {
      const box = await outbox({ email: () => Promise.resolve({ kind: 'failed', detail: '451', isFinal: false }), plan: { seals: [{ kind: 'person', id: 'olga' }] } });
      const dispatcher = box.startDispatcher();
      const id = await box.seal();
      for (let minute = 0; minute < 60; minute += 1) await box.tick(minute === 0 ? 0 : 60_000, dispatcher);
      expect(await box.states(id)).toEqual(['0 olga waiting 6']);
      for (let hour = 0; hour < 80; hour += 1) {
        await box.tick(3_600_000, dispatcher);
        expect(dispatcher.untold('pier-9')).toBeNull();
      }
      expect(await box.notices.find(id)).toMatchObject({ endedWhy: 'handed over to 0 of 1' });
      expect(await box.notices.deliveries(id)).toMatchObject([{ state: 'dead', result: '451' }]);
    });

    it('is sent again with the same id after the server died while sending it', async () => {
      const box = await outbox({ email: () => new Promise(() => undefined), plan: { seals: [{ kind: 'person', id: 'olga' }] } });
      await box.seal();
      for (let life = 0; life < 2; life += 1) {
        const dispatcher = box.startDispatcher();
        await box.tick(0, dispatcher);
        await box.tick(0, dispatcher);
        (dispatcher as unknown as { stop: () => Promise<void> }).stop = () => Promise.resolve();
      }
      expect(box.sent).toHaveLength(2);
      expect(new Set(box.sent.map(({ message }) => message.id)).size).toBe(1);
    });

    it('leaves room for an alarm where the relay hangs', async () => {
      const box = await outbox({ email: () => new Promise(() => undefined) });
      const dispatcher = box.startDispatcher();
      (dispatcher as unknown as { stop: () => Promise<void> }).stop = () => Promise.resolve();
      for (let n = 0; n < 10; n += 1) await box.seal();
      await box.tick(0, dispatcher);
      await box.tick(0, dispatcher);
      expect(box.sent).toHaveLength(2);
      await box.raise('critical');
      await box.tick(0, dispatcher);
      expect(box.sent.at(-1)?.message.kind).toBe('alarm');
    });

    it('to nobody with an address ends at once, and the trail says so', async () => {
      const box = await outbox({ plan: { seals: [] } });
      const dispatcher = box.startDispatcher();
      await box.seal();
      await box.tick(0, dispatcher);
      expect(await box.accounts.trail.find({ what: 'seal-told', sites: null, limit: 9 })).toMatchObject([{ why: 'nobody who gets seals has an address' }]);
    });
  });
});
