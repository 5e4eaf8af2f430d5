import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt from 'mqtt';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { openPostgresStore } from '../../server/record/postgres/open.ts';
import { refuse } from '../../server/record/sqlite-store.ts';
import { readHeld, SITE, siteOf, startMembers } from '../faults/support/several-servers.ts';
import { startProxy } from '../faults/support/proxy.ts';
import { launchBrowser, openPage, picture, type SIZES } from '../support/browser.ts';
import { makeCertificates } from '../support/certificates.ts';
import { POSTGRES_BIN } from '../support/postgres.ts';
import { type PotsideProcess, startPotside } from '../support/potside-process.ts';
import { PASSWORD } from '../support/server.ts';
import { databaseAt } from '../support/stores.ts';
import { tempDir } from '../support/temp-dir.ts';

const PATIENCE = 60_000;

let browser: Browser;
// The authorities are the test's own.
beforeAll(async () => void (browser = await launchBrowser('--ignore-certificate-errors')));
afterAll(() => browser.close());

/** Publishes the carbon monoxide of each rig twice a second, at whatever it is set to. */
async function startSensors(gateway: PotsideProcess): Promise<{ co: Record<string, number> }> {
  const client = await mqtt.connectAsync(gateway.ready.mqtt);
  const sensors = { co: { 'rig-1': 3, 'rig-2': 2 } as Record<string, number> };
  const timer = setInterval(() => {
    for (const [rig, value] of Object.entries(sensors.co)) client.publish(`potside/${SITE}/${rig}/breathing-air-co`, String(value), { qos: 1 });
  }, 500);
  onTestFinished(async () => {
    clearInterval(timer);
    await client.endAsync(true);
  });
  return sensors;
}

/** Somebody who looks at Watch, and never loads it anew. */
class Watcher {
  readonly page: Page;
  readonly size: keyof typeof SIZES;
  readonly #loadedAt: number;

  private constructor(page: Page, size: keyof typeof SIZES, loadedAt: number) {
    this.page = page;
    this.size = size;
    this.#loadedAt = loadedAt;
  }

  static async at(url: string, size: keyof typeof SIZES): Promise<Watcher> {
    const { page, context } = await openPage(browser, url, size);
    onTestFinished(() => context.close());
    page.setDefaultTimeout(PATIENCE);
    await page.getByLabel('Name').fill('dana');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    return new Watcher(page, size, await page.evaluate(() => performance.timeOrigin));
  }

  async sees(rig: string, co: number): Promise<void> {
    if (this.size === 'phone') await this.page.getByTestId(`choose-${rig}`).click();
    await this.page.getByTestId('link-state').and(this.page.locator('[data-state=live]')).waitFor();
    await this.page.getByTestId(`${rig}-co-value`).filter({ hasText: new RegExp(`^${co}\\b`) }).waitFor();
    expect(await this.page.evaluate(() => performance.timeOrigin)).toBe(this.#loadedAt);
  }

  /** Until the values it looks at are no longer of this moment, and say so. */
  ages(): Promise<void> {
    return this.page.getByTestId('air-rig-1').getByText(/^\d+ s old/).waitFor();
  }

  /** Alarms of carbon monoxide that nobody has taken. */
  get calls(): Locator {
    return this.page.getByTestId('alarm-strip').locator('[data-alarm="co-high"]').filter({ has: this.page.getByTestId('acknowledge') });
  }

  async acknowledges(): Promise<void> {
    await this.calls.first().getByTestId('acknowledge').click();
    await this.calls.waitFor({ state: 'detached' });
  }

  look(name: string): Promise<void> {
    return picture(this.page, `several-servers-${name}-${this.size}`);
  }
}

describe.skipIf(POSTGRES_BIN === null)('two servers over TLS, a gateway that knows both, and people who look', () => {
  it('the one that has the site is killed: pages at the other and behind a balancer go on by themselves, each alarm is there once, and it can be taken before and after', async () => {
    const url = await databaseAt('watched servers');
    const authorities: string[] = [];
    const members = await startMembers(url, 2, 2, (dir) => {
      const { ca, cert, key } = makeCertificates(dir);
      authorities.push(readFileSync(ca, 'utf8'));
      return ['--tls-cert', cert, '--tls-key', key];
    });
    const [first, second] = members.all.map(({ process }) => process) as [PotsideProcess, PotsideProcess];
    const dir = tempDir();
    writeFileSync(join(dir, 'token'), members.token);
    writeFileSync(join(dir, 'ca.pem'), authorities.join(''));
    writeFileSync(join(dir, 'site.yaml'), `${siteOf(2)}uplinks:\n  - { url: "${first.ready.url}", other-urls: ["${second.ready.url}"], token-file: ${join(dir, 'token')}, ca-file: ${join(dir, 'ca.pem')} }\n`);
    const sensors = await startSensors(await startPotside('gateway', '--config', join(dir, 'site.yaml'), '--data', join(dir, 'gateway'), '--mqtt-port', '0'));

    const portOf = ({ ready }: PotsideProcess): number => Number(new URL(ready.url).port);
    let balanced = first;
    const balancer = await startProxy(() => portOf(balanced));
    const desk = await Watcher.at(second.ready.url, 'desktop');
    const phone = await Watcher.at(`https://127.0.0.1:${balancer.port}`, 'phone');
    const both = [desk, phone];
    for (const one of both) await one.sees('rig-1', 3);

    sensors.co['rig-1'] = 62;
    for (const one of both) await one.calls.waitFor();
    await desk.acknowledges();
    await phone.calls.waitFor({ state: 'detached' });
    for (const one of both) await one.look('before');

    await first.end('SIGKILL');
    balanced = second;
    // Nobody has the site for some seconds: what is shown says how old it is.
    for (const one of both) await one.ages();
    for (const one of both) await one.look('nobody-has-it');
    sensors.co['rig-1'] = 48;
    for (const one of both) await one.sees('rig-1', 48);
    for (const one of both) await one.look('taken-over');

    sensors.co['rig-2'] = 71;
    for (const one of both) await one.calls.waitFor();
    for (const one of both) await one.sees('rig-2', 71);
    await phone.acknowledges();
    await desk.calls.waitFor({ state: 'detached' });
    await desk.page.goto(`${second.ready.url}/#/alarms/journal`);
    await desk.page.getByTestId('journal-entry').filter({ hasText: 'Nothing was heard since' }).waitFor();
    await desk.look('journal');

    const { store } = await openPostgresStore(url, refuse);
    onTestFinished(() => store.close());
    const held = await readHeld(store);
    expect(held.raised.toSorted()).toEqual(['rig-1', 'rig-2']);
    expect(held.differing).toEqual([]);
    expect(held.sequences.toSorted((a, b) => a - b)).toEqual(held.sequences.map((_, index) => index + 1));
    expect(held.unheardMs.length).toBeGreaterThan(0);
    console.info(`not heard for ${held.unheardMs.join(' ')} ms`);
  }, 300_000);
});
