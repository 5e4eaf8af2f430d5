import type { Browser, BrowserContext, CDPSession, Page, Worker } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { SettableClock } from '../../host/clock.ts';
import { until } from '../support/quiet.ts';
import { certificate, pushService, type PushService } from '../support/receivers.ts';
import { PASSWORD, testServer, type TestServer } from '../support/server.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { buildPage } from './support/built-page.ts';
import { launch } from './support/open-page.ts';

/** The worker in Chromium, the real server, and a push service that decrypts. What the push service hands to the browser goes in by the debugger. */
let browser: Browser;
let folder: string;
beforeAll(async () => {
  folder = await buildPage();
  browser = await launch();
});
afterAll(async () => {
  await browser.close();
});

interface Phone {
  readonly server: TestServer;
  readonly push: PushService;
  readonly page: Page;
  readonly worker: Worker;
  /** Hands over what the push service has decrypted, as a browser's own channel would. */
  deliver(data: string): Promise<void>;
  shown(): Promise<Shown[]>;
  tap(action: '' | 'acknowledge'): Promise<void>;
  readonly complaints: string[];
}

interface Shown {
  readonly title: string;
  readonly body: string;
  readonly actions: string[];
  readonly requireInteraction: boolean;
}

async function phone(role = 'safety-officer'): Promise<Phone> {
  const tls = certificate();
  const yaml = `${SITE_YAML}
notify:
  own-hosts: [localhost]
  ca-file: ${tls.certFile}
  plans: { critical: [{ after: 0s, to: [role:${role}] }] }
`;
  const server = await testServer(tempDir(), new SettableClock(Date.now()), 0, [testSite(yaml)], { dashboardDir: folder });
  const cookie = await server.signIn(role);
  const { key } = (await (await server.call('GET', '/api/push-key', { cookie })).json()) as { key: string };
  const push = await pushService(tls, () => key);
  await server.call('POST', '/api/push-subscriptions', { cookie, body: push.subscription() });
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  onTestFinished(() => context.close());
  await context.grantPermissions(['notifications'], { origin: server.server.url });
  const complaints: string[] = [];
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  page.on('console', (message) => message.type() === 'error' && !message.text().includes('401') && complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(server.server.url);
  await page.getByLabel('Name').fill(`the ${role}`);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByTestId('alarm-strip').waitFor();
  const worker = await workerOf(context);
  const deliver = await deliverer(context, page, server.server.url);
  const shown = (): Promise<Shown[]> =>
    page.evaluate(`navigator.serviceWorker.ready.then((r) => r.getNotifications()).then((all) => all.map(({ title, body, actions, requireInteraction }) => ({ title, body, actions: actions.map((a) => a.title), requireInteraction })))`);
  // A tap on the system's own notification is beyond any page: the event it makes is made here.
  const tap = (action: string): Promise<void> =>
    worker.evaluate(`(async () => { const [notification] = await self.registration.getNotifications(); self.dispatchEvent(new NotificationEvent('notificationclick', { notification, action: '${action}' })); })()`);
  return { server, push, page, worker, deliver, shown, tap, complaints };
}

async function workerOf(context: BrowserContext): Promise<Worker> {
  return context.serviceWorkers()[0] ?? context.waitForEvent('serviceworker');
}

async function deliverer(context: BrowserContext, page: Page, url: string): Promise<(data: string) => Promise<void>> {
  // Ready may still be at its activation, and Chromium's tools drop a push for one that is.
  await until(() => page.evaluate<boolean>("navigator.serviceWorker.ready.then(({ active }) => active?.state === 'activated')"), 'the worker to be active');
  const session: CDPSession = await context.newCDPSession(page);
  const registrations: { registrationId: string; scopeURL: string }[] = [];
  session.on('ServiceWorker.workerRegistrationUpdated', (event) => registrations.push(...event.registrations));
  await session.send('ServiceWorker.enable');
  await until(() => registrations.length > 0, 'the registration of the worker');
  return async (data) => {
    await session.send('ServiceWorker.deliverPushMessage', { origin: url, registrationId: registrations[0]?.registrationId ?? '', data });
  };
}

/** Chromium's tools lose a push now and then on a busy machine, without a word; it is sent again, as one is that nobody has taken. */
async function arrives({ deliver, shown }: Phone, data: string, isThere: (notices: readonly Shown[]) => boolean, what: string): Promise<void> {
  for (let tries = 1; ; tries += 1) {
    await deliver(data);
    try {
      return await until(async () => isThere(await shown()), what, 8_000);
    } catch (error) {
      if (tries === 4) throw error;
    }
  }
}

async function alarmed(role?: string): Promise<Phone & { alarm: string }> {
  const held = await phone(role);
  await held.server.send({ 'breathing-air-co': 15 });
  await until(() => held.push.taken.length > 0, 'the push');
  const { payload } = held.push.taken[0] ?? {};
  await arrives(held, JSON.stringify(payload), (notices) => notices.length > 0, 'the notification');
  return { ...held, alarm: payload?.alarm ?? '' };
}

const stateOf = ({ server, alarm }: { server: TestServer; alarm: string }): string | undefined => server.server.writer('pier-9')?.state.findAlarm(alarm)?.track.occurrence?.state;

describe('an alarm on the phone', () => {
  it('is shown with alarm, rig, value and what to do first, and one tap takes it', async () => {
    const held = await alarmed();
    const [notice] = await held.shown();
    expect(notice?.title).toBe('Critical: Carbon monoxide high in the breathing air');
    expect(notice?.body).toMatch(/^rig-a, .*: 15 ppm, limit 10\nFirst: .*\nWithin: .*\nPier 9 fenders$/);
    expect(notice).toMatchObject({ actions: ['I have it'], requireInteraction: true });
    expect(stateOf(held)).toBe('unacknowledged');
    await held.tap('acknowledge');
    await until(async () => (await held.shown())[0]?.title === 'You have it: Carbon monoxide high in the breathing air', 'word that it is taken');
    expect(stateOf(held)).toBe('acknowledged');
    expect((await held.server.server.accounts.trail.find({ what: 'acknowledge', sites: null, limit: 1 }))[0]).toMatchObject({ by: 'the safety-officer', new: { atRig: false } });
    expect((await held.shown())[0]?.actions).toEqual([]);
    expect(held.complaints).toEqual([]);
  });

  it('speaks Spanish around a message in Spanish', async () => {
    const held = await alarmed();
    const message = { ...held.push.taken[0]?.payload, id: 'other', title: 'Boquilla gastada', language: 'es' };
    await arrives(held, JSON.stringify(message), ([notice]) => notice?.title === 'Crítica: Boquilla gastada', 'the message');
    expect((await held.shown())[0]?.actions).toEqual(['Yo me encargo']);
    await held.tap('acknowledge');
    await until(async () => (await held.shown())[0]?.title === 'Usted se encarga: Boquilla gastada', 'word that it is taken');
  });

  it('opens the alarm in the page that is there, where one tap takes it', async () => {
    const held = await alarmed();
    await held.tap('');
    await held.page.getByTestId(`card-${held.alarm}`).waitFor();
    expect(new URL(held.page.url()).hash).toBe(`#/alarms?alarm=${encodeURIComponent(held.alarm)}`);
    await held.page.getByTestId('alarm-list').getByRole('button', { name: 'I have it' }).click();
    await until(() => stateOf(held) === 'acknowledged', 'the acknowledgement');
  });

  it('says so where nobody is signed in any more, and can be tried again', async () => {
    const held = await alarmed();
    const { accounts } = held.server.server;
    for (const { id } of await accounts.sessions.list('the safety-officer')) await accounts.sessions.end(id, { by: 'test', role: '', address: 'test' });
    await held.tap('acknowledge');
    await until(async () => (await held.shown())[0]?.title === 'Not acknowledged', 'word that it is not');
    expect((await held.shown())[0]).toMatchObject({ actions: ['I have it'], body: expect.stringContaining('You are not signed in on this device') as string });
    expect(stateOf(held)).toBe('unacknowledged');
  });

  it('told twice takes the place of the first; what can’t be read is shown all the same', async () => {
    const held = await alarmed();
    await held.deliver(JSON.stringify(held.push.taken[0]?.payload));
    await arrives(held, 'not json', (notices) => notices.length === 2, 'both');
    expect((await held.shown()).map(({ title }) => title).toSorted()).toEqual(['Critical: Carbon monoxide high in the breathing air', 'Something was reported']);
  });
});
