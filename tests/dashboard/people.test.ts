import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Secret, TOTP } from 'otpauth';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { SettableClock } from '../../host/clock.ts';
import { SiteFile } from '../../host/site-file.ts';
import { until } from '../support/quiet.ts';
import { certificate, mailServer, type MailServer, pushService, type PushService } from '../support/receivers.ts';
import { PASSWORD, testServer, type TestServer } from '../support/server.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { axeComplaints, contrastOfOtherLights } from './support/axe-complaints.ts';
import { buildPage } from './support/built-page.ts';
import { launch, SIZES, type SizeName } from './support/open-page.ts';
import { atNarrow, sideways } from './support/page-checks.ts';

/** People & messages in Chromium against the real server, a mail relay and a push service that decrypts. Pictures land beside the others. */
const PICTURES = fileURLToPath(new URL('../output/dashboard', import.meta.url));
let browser: Browser;
let folder: string;
let server: TestServer;
let mail: MailServer;
let push: PushService;
let file: string;

beforeAll(async () => {
  folder = await buildPage();
  browser = await launch();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  const tls = certificate();
  mail = await mailServer();
  file = join(tempDir(), 'site.yaml');
  const yaml = `${SITE_YAML}
page: https://potside.example
notify:
  smtp: { host: 127.0.0.1, port: ${mail.port}, security: none, from: potside@example.test }   # the relay of the yard
  own-hosts: [localhost]
  ca-file: ${tls.certFile}
  rotas: { on-call: [{ who: max, days: daily, from: "18:00", to: "06:00" }] }
  plans: { critical: [{ after: 0s, to: [role:safety-officer] }, { after: 30s, to: ["rota:on-call", role:manager] }] }
`;
  writeFileSync(file, yaml);
  const clock = new SettableClock(Date.now());
  clock.run(1);
  const dataDir = tempDir();
  const house = { files: new Map([['pier-9', new SiteFile(file, dataDir)]]), first: null, onChanged: () => undefined, restart: null };
  server = await testServer(dataDir, clock, 0, [testSite(yaml)], { dashboardDir: folder, settings: house });
  const { accounts } = server.server;
  for (const [name, role] of [['ada', 'administrator'], ['olga', 'safety-officer'], ['max', 'manager'], ['dana', 'supervisor'], ['vic', 'viewer']] as const) await accounts.addUser(name, role, PASSWORD);
  const key = (await (await server.call('GET', '/api/push-key', { cookie: await server.signIn('tender') })).json()) as { key: string };
  push = await pushService(tls, () => key.key);
});

/** A browser has no push service of its own here: what it would get from one is handed to it. */
function pushManager(subscription: object): string {
  return `(() => {
    let held = null;
    const make = () => ({ toJSON: () => (${JSON.stringify(subscription)}), unsubscribe: async () => ((held = null), true) });
    PushManager.prototype.getSubscription = async () => held;
    PushManager.prototype.subscribe = async () => (held = make());
  })()`;
}

async function openAs(name: string, tab: string, size: SizeName = 'desk'): Promise<Page> {
  const context = await browser.newContext({ viewport: SIZES[size] });
  onTestFinished(() => context.close());
  await context.grantPermissions(['notifications', 'clipboard-read'], { origin: server.server.url });
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => message.type() === 'error' && /policy|Refused to/i.test(message.text()) && complaints.push(message.text()));
  await page.addInitScript(pushManager(push.subscription()));
  await page.goto(server.server.url);
  await signIn(page, name, PASSWORD);
  await page.evaluate(`location.hash = '#/people/${tab}'`);
  await page.getByTestId('people-screen').waitFor();
  return page;
}

const complaints: string[] = [];
const shoot = async (page: Page, name: string): Promise<void> => {
  mkdirSync(PICTURES, { recursive: true });
  await page.screenshot({ path: join(PICTURES, `${name}.png`), fullPage: true });
};

async function signIn(page: Page, name: string, password: string): Promise<void> {
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByTestId('alarm-strip').waitFor();
}

describe('everybody', () => {
  it('somebody is added, chooses a password with the code, is changed, told, and shut out', async () => {
    const page = await openAs('ada', 'everybody');
    await page.getByTestId('add-person').click();
    await page.getByTestId('add-person-form').getByLabel('Name').fill('ray');
    await page.getByLabel('Every site').uncheck();
    await page.getByTestId('add-do').click();
    await page.getByText('Choose at least one site').waitFor();
    await page.getByLabel('Pier 9 fenders').check();
    await page.getByTestId('add-do').click();
    const code = await page.getByTestId('once-secret').innerText();
    await shoot(page, 'people-code');
    await page.getByTestId('once-done').click();
    await page.getByTestId('person-ray').filter({ hasText: 'no password yet' }).waitFor();
    await shoot(page, 'people-everybody');

    const rays = await browser.newContext({ viewport: SIZES.phone });
    onTestFinished(() => rays.close());
    const other = await rays.newPage();
    await other.goto(server.server.url);
    await other.getByRole('button', { name: 'I have a one-time code' }).click();
    await other.getByLabel('One-time code').fill(code.toLowerCase());
    await other.getByLabel('Name').fill('ray');
    await other.getByLabel('Your new password').fill('heron-ladder-9');
    expect(await axeComplaints(other)).toEqual([]);
    await shoot(other, 'people-sign-in-code');
    await other.getByRole('button', { name: 'Take this password' }).click();
    await other.getByTestId('alarm-strip').waitFor();

    await page.getByTestId('person-ray').getByRole('link', { name: 'Change' }).click();
    await page.getByLabel('Role').selectOption('supervisor');
    await page.getByTestId('person-save').click();
    await until(async () => (await server.server.accounts.find('ray'))?.role === 'supervisor', 'the new role');
    // A changed person signs in anew: the page closes.
    await other.getByTestId('sign-in').waitFor();
    await page.getByLabel('New PIN').fill('4071');
    await page.getByTestId('pin-set').click();
    await page.getByRole('button', { name: 'Take the PIN away' }).waitFor();
    await page.getByLabel('E-mail').fill('ray@example.test');
    await page.getByLabel('Language of messages').selectOption('Español');
    await page.getByTestId('contact-save').click();
    await page.getByText('Saved.').waitFor();
    expect((await (await server.call('GET', '/api/audit?what=contact-changed', { cookie: await cookieOf('ada') })).json())).toMatchObject({ items: [{ by: 'ada', subject: 'ray', new: { email: 'ray@example.test', language: 'es' } }] });
    await page.getByTestId('person-disable').click();
    await page.getByRole('button', { name: 'May sign in again' }).waitFor();
    expect(await server.server.accounts.find('ray')).toBeNull();
    await shoot(page, 'people-person');
  });
});

async function cookieOf(name: string): Promise<string> {
  const response = await server.call('POST', '/api/session', { body: { name, password: PASSWORD } });
  return (response.headers.getSetCookie()[0] ?? '').split(';')[0] ?? '';
}

describe('oneself', () => {
  it('sets address, quiet hours, this browser, and a test comes to all of them', async () => {
    const page = await openAs('olga', 'mine');
    await page.getByLabel('E-mail').fill('olga@example.test');
    await page.getByLabel('from', { exact: true }).fill('22:00');
    await page.getByTestId('contact-save').click();
    await page.getByText('Both times, or none.').waitFor();
    await page.getByLabel('to', { exact: true }).fill('06:00');
    await page.getByTestId('contact-save').click();
    await page.getByText('Saved.').waitFor();
    await page.getByTestId('push-on').click();
    await page.locator('[data-testid=push-state][data-state=on]').waitFor();
    await shoot(page, 'people-mine');
    await page.evaluate(`location.hash = '#/people/told'`);
    await page.getByTestId('reach-olga').filter({ hasText: 'by Web Push, e-mail' }).waitFor();
    await page.getByTestId('reach-max').filter({ hasText: 'can’t be reached' }).waitFor();
    await page.getByTestId('test-do').click();
    await page.getByTestId('test-sum').filter({ hasText: '2 of 2 handed over' }).waitFor();
    expect(push.taken[0]?.payload).toMatchObject({ kind: 'test' });
    expect(mail.taken[0]?.to).toBe('olga@example.test');
    await server.send({ 'breathing-air-co': 15 });
    await until(() => push.taken.length > 1 && mail.taken.length > 1, 'the alarm');
    await page.reload();
    await page.getByTestId('notices').getByText('handed over').nth(1).waitFor();
    await shoot(page, 'people-told');
    await page.evaluate(`location.hash = '#/people/mine'`);
    await page.getByTestId('push-state').waitFor();
    expect((await (await server.call('GET', '/api/push-subscriptions', { cookie: await cookieOf('olga') })).json())).toMatchObject({ items: [{}] });
    await page.getByRole('button', { name: 'Not there any more' }).click();
    await page.locator('[data-testid=push-state][data-state=off]').waitFor();
    expect((await (await server.call('GET', '/api/push-subscriptions', { cookie: await cookieOf('olga') })).json())).toMatchObject({ items: [] });
  });

  it('changes the password, sets a second factor with the key that is shown, and ends a session elsewhere', async () => {
    const elsewhere = await cookieOf('olga');
    const page = await openAs('olga', 'mine');
    await page.getByTestId('second-factor').getByRole('button').click();
    await page.getByRole('img', { name: 'The key as a picture for the app' }).waitFor();
    const secret = (await page.getByTestId('factor-key').innerText()).replaceAll(' ', '');
    await page.getByTestId('second-factor').getByLabel('Your password').fill(PASSWORD);
    await page.getByLabel('The code that the app shows now').fill('000000');
    await page.getByTestId('factor-do').click();
    await page.getByText('this is not what the app shows').waitFor();
    await shoot(page, 'people-factor');
    await page.getByLabel('The code that the app shows now').fill(new TOTP({ secret: Secret.fromBase32(secret) }).generate({ timestamp: server.clock.nowMs() }));
    await page.getByTestId('factor-do').click();
    await page.getByText('also asks for a code').waitFor();
    expect((await server.server.accounts.find('olga'))?.totp).toBe(secret);
    expect((await server.call('GET', '/api/session', { cookie: elsewhere })).status).toBe(200);
    await page.getByTestId('own-sessions').locator('li', { hasNotText: 'this page' }).getByRole('button', { name: 'End it' }).click();
    await until(async () => (await server.call('GET', '/api/session', { cookie: elsewhere })).status === 401, 'the end of the session');
    await page.getByLabel('The present password').fill(PASSWORD);
    await page.getByLabel('A new password').fill('heron-ladder-9');
    await page.getByTestId('password-change').click();
    await page.getByText('Changed. Your other sessions have ended.').waitFor();
  });

  it('sees of the rest what the role allows', async () => {
    const tabsOf = async (name: string): Promise<string[]> => (await openAs(name, 'mine')).getByRole('navigation', { name: 'People and messages' }).getByRole('link').allInnerTexts();
    expect(await tabsOf('vic')).toEqual(['You', 'Messages']);
    expect(await tabsOf('dana')).toEqual(['You', 'Messages', 'Ways in']);
    expect(await tabsOf('max')).toEqual(['You', 'Messages', 'Who did what']);
    expect(await tabsOf('ada')).toEqual(['You', 'Messages', 'Everybody', 'Ways in', 'Who did what']);
  });
});

describe('plans and rotas', () => {
  it('are changed in the page and written into the file, whose comments stay; who is told follows at once', async () => {
    const page = await openAs('ada', 'told');
    await page.getByTestId('plan-change').click();
    const critical = page.getByTestId('steps-critical');
    await critical.getByLabel('every supervisor').first().check();
    await page.getByTestId('steps-high').getByRole('button', { name: 'Another step' }).click();
    await page.getByTestId('plan-save').click();
    await page.getByText('Choose somebody for each step.').waitFor();
    await page.getByTestId('steps-high').getByLabel('rota on-call').check();
    await page.getByTestId('rotas').getByRole('button', { name: 'Another turn' }).click();
    await shoot(page, 'people-plan-form');
    await page.getByTestId('plan-save').click();
    await page.getByText('Say why it is changed.').waitFor();
    await page.getByLabel('Why').fill('Dana is at the yard too');
    await page.getByTestId('plan-save').click();
    await page.getByTestId('plan-critical').filter({ hasText: 'every supervisor' }).waitFor();
    await page.getByTestId('reach-dana').waitFor();
    const text = readFileSync(file, 'utf8');
    expect(text).toContain('# the relay of the yard');
    expect(testSite(text).notify?.plans).toMatchObject({ critical: [{ to: [{ kind: 'role', id: 'safety-officer' }, { kind: 'role', id: 'supervisor' }] }, { afterMs: 30_000 }], high: [{ afterMs: 0, to: [{ kind: 'rota', id: 'on-call' }] }] });
    expect(testSite(text).notify?.rotas['on-call']).toHaveLength(2);
    expect((await server.server.accounts.trail.find({ sites: null, limit: 50, text: 'Dana is at the yard too' })).length).toBeGreaterThan(0);
  });
});

describe('ways in', () => {
  it('a token and a wall’s link are shown once, work, and are taken back', async () => {
    const page = await openAs('ada', 'entry');
    await page.getByTestId('tokens').getByLabel('What for').fill('wallboard');
    await page.getByTestId('make-token').click();
    const token = await page.getByTestId('once-secret').innerText();
    await page.getByTestId('once-done').click();
    const asToken = async (): Promise<number> => (await server.call('GET', '/api/session', { headers: { authorization: `Bearer ${token}` } })).status;
    expect(await asToken()).toBe(200);
    await page.getByTestId('screens').getByLabel('Its name').fill('hall');
    await page.getByTestId('make-wall').click();
    const link = await page.getByTestId('once-secret').innerText();
    await page.getByTestId('once-done').click();
    const wall = await browser.newContext();
    onTestFinished(() => wall.close());
    const screen = await wall.newPage();
    await screen.goto(link);
    await screen.getByTestId('alarm-strip').waitFor();
    await shoot(page, 'people-entry');
    await page.getByRole('button', { name: 'Revoke: wallboard' }).click();
    await until(async () => (await asToken()) === 401, 'the end of the token');
    await page.getByRole('button', { name: 'Revoke: hall' }).click();
    await screen.getByTestId('sign-in').waitFor();
    await page.getByTestId('end-session-ada').first().waitFor();
  });
});

describe('who did what', () => {
  it('is searched, taken away and checked', async () => {
    await cookieOf('dana');
    const page = await openAs('max', 'trail');
    await page.getByTestId('trail-rows').locator('li').first().waitFor();
    await page.getByLabel('Find').fill('dana');
    await expect.poll(async () => (await page.getByTestId('trail-rows').locator('li').allInnerTexts()).every((text) => text.includes('dana'))).toBe(true);
    await page.locator('[data-what=signed-in]').first().waitFor();
    await shoot(page, 'people-trail');
    const [got] = await Promise.all([page.waitForEvent('download'), page.getByTestId('trail-csv').click()]);
    expect(readFileSync(await got.path(), 'utf8')).toMatch(/^seq,at,by,role,address,what/);
    await page.getByTestId('trail-verify').click();
    await page.getByTestId('trail-verdict').filter({ hasText: 'Whole:' }).waitFor();
  });
});

describe('every tab', () => {
  it.each(['desk', 'phone'] as const)('has no fault that axe knows, fits, and can be had in each light: %s', async (size) => {
    const page = await openAs('ada', 'mine', size);
    for (const tab of ['mine', 'told', 'everybody', 'everybody/olga', 'entry', 'trail']) {
      await page.evaluate(`location.hash = '#/people/${tab}'`);
      await page.locator('.panel').first().waitFor();
      await page.waitForTimeout(400);
      expect(await axeComplaints(page), tab).toEqual([]);
      expect(await contrastOfOtherLights(page), tab).toEqual([]);
      expect(await sideways(page), tab).toBe(0);
      if (size === 'phone') expect(await atNarrow(page), tab).toBe(0);
      await shoot(page, `${size}-people-${tab.replace('/', '-')}`);
    }
    expect(complaints).toEqual([]);
  });
});
