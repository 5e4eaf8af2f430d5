import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SettableClock } from '../../host/clock.ts';
import { until } from '../support/quiet.ts';
import { NOW, PASSWORD, type TestServer, testServer } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { axeComplaints } from './support/axe-complaints.ts';
import { buildPage } from './support/built-page.ts';
import { SIZES, launch } from './support/open-page.ts';

/** The check before blasting on the built page, against the real server with a clock of the test's. */
let browser: Browser;
let folder: string;

beforeAll(async () => {
  [folder, browser] = await Promise.all([buildPage(), launch()]);
});
afterAll(async () => {
  await browser.close();
});

const OUT = 'tests/output/dashboard';

class Rig {
  readonly test: TestServer;
  readonly clock: SettableClock;
  now: Record<string, number> = { 'supply-pressure': 0, 'pot-pressure': 0, 'nozzle-pressure': 0, 'breathing-air-co': 1, 'breathing-air-pressure': 62, 'remote-control': 0 };
  compressor = 0;
  #faults: string[] = [];

  constructor(test: TestServer, clock: SettableClock) {
    this.test = test;
    this.clock = clock;
  }

  static async open(): Promise<Rig> {
    const clock = new SettableClock(NOW);
    const rig = new Rig(await testServer(tempDir(), clock, 0, undefined, { dashboardDir: folder }), clock);
    await rig.run(2);
    return rig;
  }

  async run(seconds: number, values: Record<string, number> = {}, compressor = this.compressor): Promise<void> {
    this.now = { ...this.now, ...values };
    this.compressor = compressor;
    for (let second = 0; second < seconds; second += 1) {
      this.clock.set(this.clock.nowMs() + 1000);
      await this.test.send(this.now);
      await this.test.send({ 'compressor-pressure': compressor }, this.clock.nowMs(), 'comp-1');
    }
  }

  async press(): Promise<void> {
    await this.run(3, { 'remote-control': 1, 'nozzle-pressure': 92 });
    await this.run(1, { 'remote-control': 0, 'nozzle-pressure': 30 });
    await this.run(3, { 'nozzle-pressure': 0 });
  }

  async page(role: string, size: 'desk' | 'phone'): Promise<Page> {
    await this.test.signIn(role);
    const page = await browser.newPage({ viewport: SIZES[size] });
    page.setDefaultTimeout(20_000);
    page.on('console', (message) => message.type() === 'error' && !/40[19]/.test(message.text()) && this.#faults.push(message.text()));
    page.on('pageerror', (error) => this.#faults.push(error.message));
    await page.goto(this.test.server.url);
    await page.getByLabel('Name').fill(`the ${role}`);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByTestId('air-rig-a').waitFor();
    return page;
  }

  get faults(): readonly string[] {
    return this.#faults;
  }
}

async function shoot(page: Page, name: string): Promise<void> {
  mkdirSync(OUT, { recursive: true });
  await page.screenshot({ path: join(OUT, `${name}.png`) });
}

/** Opens a step and signs it; the next one opens by itself. */
async function sign(page: Page, step: string): Promise<void> {
  const item = page.getByTestId(`step-${step}`);
  if ((await item.getAttribute('data-open')) === null) await item.locator('.step__head').click();
  await page.getByTestId(`sign-${step}`).click();
  await page.locator(`[data-testid="step-${step}"][data-state="done"]`).waitFor();
}

describe.each(['desk', 'phone'] as const)('Ready at %s size', (size) => {
  it('takes a supervisor from a rig at rest to a released one, with nothing claimed that is not so', async () => {
    const rig = await Rig.open();
    const page = await rig.page('supervisor', size);
    // One tap from Watch.
    await page.getByTestId('ready-rig-a').click();
    await page.getByTestId('ready-screen').waitFor();
    const text = page.getByTestId('ready-text');
    await text.getByText('no shift is open').waitFor();
    expect(await page.getByTestId('ready-start-shift').getAttribute('href')).toBe('#/shifts/start?rig=rig-a');
    await rig.test.call('POST', '/api/shifts', { cookie: await rig.test.signIn('administrator'), body: { rig: 'rig-a' } });
    await text.getByText('not ready, because Permits, people, ground: not signed yet; and 11 more').waitFor();
    await shoot(page, `${size}-ready-begin`);
    expect(await axeComplaints(page)).toEqual([]);

    for (const step of ['ground', 'vessel', 'hoses']) await sign(page, step);
    await page.getByTestId('bump').click();
    await page.getByText('End bump test').waitFor();
    await page.getByTestId('bump').click();
    await page.getByTestId('bump-done').click();
    await sign(page, 'panel');
    // Not before the compressor ran through a cycle: refused, with the reason.
    await page.getByTestId('sign-compressor').click();
    await page.getByTestId('failure-compressor').getByText('one unload cycle within the vessel’s rating: not yet').waitFor();
    await rig.run(2, {}, 118);
    await rig.run(2, {}, 112);
    await sign(page, 'compressor');
    await rig.run(2, { 'supply-pressure': 110 });
    await page.getByTestId('hold').click();
    await page.getByText('Stop', { exact: true }).waitFor();
    await rig.run(30, { 'supply-pressure': 109.9 });
    await page.getByTestId('hold-run').getByText(/of 60 s, 110.0 to 109.9 psi/).waitFor();
    await shoot(page, `${size}-ready-hold`);
    expect(await axeComplaints(page)).toEqual([]);
    await rig.run(32);
    await page.getByTestId('hold-run').getByText(/leak [\d.−-]+ cfm/).waitFor();
    await sign(page, 'pressure');
    await page.getByTestId('blotter').click();
    await rig.run(602);
    for (const step of ['air', 'climate', 'abrasive']) await sign(page, step);
    await page.getByTestId('hood-name').fill('Ray');
    await page.getByTestId('hood-in').click();
    await page.getByTestId('hood-out').waitFor();
    await sign(page, 'dress');
    await rig.run(2);
    await rig.press();
    await rig.press();
    await sign(page, 'handle');
    await page.getByTestId('needle').fill('93');
    await page.getByTestId('needle-enter').click();
    await sign(page, 'metering');
    await text.getByText("checks done; starting is the supervisor's decision", { exact: true }).waitFor();
    await shoot(page, `${size}-ready-done`);
    expect((await page.getByTestId('ready-screen').innerText()).toLowerCase()).not.toMatch(/\bsafe/);
    await page.getByTestId('ready-release').click();
    await page.getByText(/released by the supervisor at/).first().waitFor();
    await page.getByTestId('decision').scrollIntoViewIfNeeded();
    await shoot(page, `${size}-ready-released`);
    await rig.run(2, {}, 5);
    await text.getByText('not ready, because Compressor: due again, the compressor was restarted').waitFor();
    await shoot(page, `${size}-ready-again`);
    expect(await axeComplaints(page)).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')).toBe(0);
    expect(rig.faults).toEqual([]);
    await page.close();
  });

  it('goes through shutdown with every gauge at 0, and has targets for a glove', async () => {
    const rig = await Rig.open();
    const supervisor = await rig.test.signIn('supervisor');
    await rig.test.call('POST', '/api/shifts', { cookie: supervisor, body: { rig: 'rig-a' } });
    const page = await rig.page('tender', size);
    // Two taps from anywhere: menu, then the screen.
    await page.getByTestId('menu').locator('summary').click();
    await page.getByTestId('go-ready').click();
    await page.getByTestId('list-shutdown').click();
    await rig.run(2, { 'supply-pressure': 104 });
    for (const step of ['end-blast', 'end-hood', 'end-supply']) await sign(page, step);
    await page.getByTestId('sign-end-vent').click();
    await page.getByTestId('failure-end-vent').getByText('supply at 0: not so, 104 psi (at most 1)').waitFor();
    await shoot(page, `${size}-ready-shutdown`);
    for (const target of ['sign-end-vent', 'fail-end-vent', 'list-unblocking', 'again-moved']) {
      const box = await page.getByTestId(target).boundingBox();
      expect([target, (box?.height ?? 0) >= 72 && (box?.width ?? 0) >= 72]).toEqual([target, true]);
    }
    await rig.run(2, { 'supply-pressure': 0.3 });
    await sign(page, 'end-vent');
    expect(await page.getByTestId('ready-release').count()).toBe(0);
    await page.getByTestId('list-unblocking').click();
    await page.getByTestId('step-clear-stop').waitFor();
    await page.getByTestId('fail-clear-stop').click();
    await page.getByText('What is wrong? Write it into the note first.').waitFor();
    expect(rig.faults).toEqual([]);
    await page.close();
  });
});

it('without a living server nothing is claimed; who looks on signs nothing', async () => {
  const rig = await Rig.open();
  const supervisor = await rig.test.signIn('supervisor');
  await rig.test.call('POST', '/api/shifts', { cookie: supervisor, body: { rig: 'rig-a' } });
  const page = await rig.page('viewer', 'desk');
  await page.goto(`${rig.test.server.url}/#/ready/rig-a`);
  await page.getByTestId('ready-text').getByText('not ready, because').waitFor();
  expect(await page.locator('.ready').locator('[data-testid^="sign-"], [data-testid^="fail-"], [data-testid^="again-"]').count()).toBe(0);
  await rig.test.server.stop();
  await page.getByTestId('ready-text').getByText('can’t say: this page is not live').waitFor();
  await page.close();
});

it('a second person sees at once what the first one signed', async () => {
  const rig = await Rig.open();
  const supervisor = await rig.test.signIn('supervisor');
  await rig.test.call('POST', '/api/shifts', { cookie: supervisor, body: { rig: 'rig-a' } });
  const page = await rig.page('viewer', 'phone');
  await page.goto(`${rig.test.server.url}/#/ready/rig-a`);
  await page.getByTestId('step-hoses').waitFor();
  const tender = await rig.test.signIn('tender');
  await rig.test.call('POST', '/api/rigs/rig-a/readiness/sign', { cookie: tender, body: { step: 'hoses', note: 'nozzle 9.6 mm' } });
  await page.locator('[data-testid="step-hoses"][data-state="done"]').waitFor();
  await until(async () => (await page.getByTestId('step-hoses').innerText()).includes('signed by the tender, pot tender'), 'the signature');
  await page.close();
});
