import { createServer } from 'node:net';
import mqtt from 'mqtt';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { contrastOfOtherLights } from '../dashboard/support/axe-complaints.ts';
import { atNarrow, axeFindings, sideways } from '../dashboard/support/page-checks.ts';
import { siteYamlSchema } from '../../domain/wire/site-yaml.ts';
import { launchBrowser, openPage, picture } from '../support/browser.ts';
import { startPotside } from '../support/potside-process.ts';
import { PASSWORD } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';

let browser: Browser;
beforeAll(async () => void (browser = await launchBrowser()));
afterAll(() => browser.close());

/** A port that is free now: the broker of a first run opens only once there is a site. */
async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  return typeof address === 'object' && address ? address.port : 0;
}

/** The day so many days from now, as a date field takes it. */
const inDays = (days: number): string => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

async function lookAt(page: Page, name: string, size: string): Promise<void> {
  await picture(page, `${name}-${size}`);
  expect.soft([name, await axeFindings(page)]).toEqual([name, []]);
  expect.soft([name, await contrastOfOtherLights(page)]).toEqual([name, []]);
  expect.soft([name, await sideways(page)]).toEqual([name, 0]);
  if (size === 'phone') expect.soft([name, await atNarrow(page)]).toEqual([name, 0]);
}

/** Takes what a list offers by the keys: a pointer may miss it while the list, shorter with each letter, still moves to where it fits. */
async function pick(page: Page, option: string): Promise<void> {
  const offered = page.getByRole('option', { name: option });
  await offered.waitFor();
  // A list that closed because the page moved opens again with the same key that goes down in it.
  const isFocused = async (): Promise<boolean> => (await offered.isVisible()) && (await offered.getAttribute('data-focused', { timeout: 1_000 }).catch(() => null)) !== null;
  for (let down = 0; down < 20 && !(await isFocused()); down += 1) {
    await page.keyboard.press('ArrowDown');
    await page.waitForTimeout(100);
  }
  await page.keyboard.press('Enter');
}

it.each(['desktop', 'phone'] as const)('at %s size, an empty Potside becomes a site with a sensor on Watch, without a word of the documentation', async (size) => {
  const mqttPort = await freePort();
  const { ready } = await startPotside('serve', '--data', tempDir(), '--port', '0', '--mqtt-port', String(mqttPort));
  const { page, faults } = await openPage(browser, ready.url, size);
  page.setDefaultTimeout(20_000);
  const begun = performance.now();
  await page.getByLabel('One-time code').fill((ready as unknown as { firstAdministratorCode: string }).firstAdministratorCode);
  await page.getByLabel('Name').fill('ada');
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Make administrator' }).click();

  await page.getByTestId('first-run').waitFor();
  await page.getByTestId('first-next').click();
  await page.getByTestId('first-siteName').fill('Quay 4 gates');
  expect(await page.getByTestId('first-siteId').inputValue()).toBe('quay-4-gates');
  await page.getByTestId('set-site.zone').fill('Chicago');
  await pick(page, 'America/Chicago');
  await page.getByTestId('first-elevation').fill('high');
  await page.getByText('is not a number with a unit').waitFor();
  await page.getByTestId('first-elevation').fill('180m');
  await lookAt(page, 'first-run-site', size);
  await page.getByTestId('first-next').click();

  await page.getByTestId('first-vessel').fill('125psi');
  await page.getByTestId('first-hoseBore').fill('1-1/4in');
  await page.getByTestId('first-hoseLength').fill('100ft');
  await page.getByTestId('first-nozzle').fill('7/16in');
  await page.getByTestId('first-compressor').fill('750cfm');
  await lookAt(page, 'first-run-rig', size);
  await page.getByTestId('first-next').click();

  // The parts start anew with the site; this page waits for them by itself.
  await page.getByTestId('arriving').waitFor();
  const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${mqttPort}`);
  onTestFinished(() => client.endAsync(true).then(() => undefined));
  const publishing = setInterval(() => client.publish('line/pt-101', JSON.stringify({ ts: Date.now() / 1000, line: { pressure: 104.2, on: true } }), { qos: 1 }), 300);
  onTestFinished(() => clearInterval(publishing));
  await page.getByRole('button', { name: 'Use line/pt-101' }).click();
  // A list that is open closes when the page under it moves: it is scrolled to first, and typed into as people do.
  await page.getByTestId('map-point').scrollIntoViewIfNeeded();
  await page.waitForTimeout(300);
  await page.getByTestId('map-point').pressSequentially('supply', { delay: 30 });
  await pick(page, 'Supply pressure');
  expect(await page.getByTestId('map-field').inputValue()).toBe('/line/pressure');
  await lookAt(page, 'first-run-map', size);
  await page.getByTestId('take-in').click();
  await page.getByTestId('save').click();
  await page.getByText('Say why').waitFor();
  await page.getByTestId('save-why').fill('first sensor');
  await lookAt(page, 'first-run-save', size);
  await page.getByTestId('save').click();
  await page.getByText('Written, and in force.').waitFor();
  await page.getByTestId('point-rig-a-supply-pressure').getByText('104 psi').waitFor();
  await lookAt(page, 'first-run-points', size);
  await page.getByTestId('first-watch').click();
  await page.getByText('104').first().waitFor();
  await picture(page, `first-run-watch-${size}`);
  // In under ten minutes, the hand of a person not counted.
  expect(performance.now() - begun).toBeLessThan(300_000);

  // What the file says, on every part of it; and a limit that somebody changes.
  await page.goto(`${ready.url}/#/settings`);
  await page.getByTestId('settings-screen').waitFor();
  await lookAt(page, 'settings-list', size);
  const seen = new Set<string>();
  for (const section of ['points', 'line', 'limits', 'sensors', 'site', 'check', 'told', 'network', 'file', 'device']) {
    await page.goto(`${ready.url}/#/settings/${section}`);
    await page.locator('.settings__title').waitFor();
    await page.waitForTimeout(300);
    for (const id of await page.evaluate<string[]>("[...document.querySelectorAll('[data-testid]')].map((one) => one.dataset.testid)")) seen.add(/^(?:set|group)-([^.]+)/.exec(id)?.[1] ?? (/^limit-/.test(id) ? 'alarms' : /^owner-/.test(id) ? 'points' : ''));
    await lookAt(page, `settings-${section}`, size);
  }
  // Whatever the file can say has its place.
  expect(Object.keys(siteYamlSchema.shape).filter((key) => !seen.has(key))).toEqual([]);
  await page.goto(`${ready.url}/#/settings/limits`);
  await page.getByTestId('find-limit').fill('supply pressure low');
  await page.getByTestId('limit-supply-pressure-low').locator('summary').click();
  await page.getByTestId('set-alarms.supply-pressure-low.limit').fill('60');
  await page.getByTestId('limit-supply-pressure-low').getByText('has no unit').waitFor();
  expect(await page.getByTestId('save').isDisabled()).toBe(true);
  await page.getByTestId('set-alarms.supply-pressure-low.limit').fill('60psi');
  await page.getByTestId('save-why').fill('valve wants sixty');
  await page.getByTestId('save').click();
  await page.getByTestId('limit-supply-pressure-low').getByText('last changed by ada').waitFor();
  await lookAt(page, 'settings-limit-changed', size);
  // The file holds both, and what was written first by the wizard stands in it still.
  await page.goto(`${ready.url}/#/settings/file`);
  const text = await page.getByTestId('file-text').inputValue();
  expect(text).toContain('# Written by Potside’s first run');
  expect(text).toContain('supply-pressure-low: { limit: 60psi }');
  expect(text).toContain('topic: line/pt-101');
  await page.getByTestId('changes').getByText('valve wants sixty').first().waitFor();
  await lookAt(page, 'settings-file-changed', size);

  await page.goto(`${ready.url}/#/settings/sensors`);
  await page.getByTestId('tell-bump').click();
  await page.getByTestId('bump-gas').fill('50ppm');
  await page.getByLabel('It alarmed as it should').check();
  await page.getByTestId('send-bump').click();
  await page.getByTestId('checks').getByText('Bump test').waitFor();
  // A certificate, as it is on paper: refused while a day is missing, then in the list with the day it falls due.
  await page.getByTestId('tell-calibration').click();
  await page.getByTestId('calibration-certificate').fill('K-2041');
  await page.getByTestId('calibration-doneOn').fill(inDays(-30));
  await page.getByTestId('send-calibration').click();
  await page.getByText('Certificate and both days are needed.').waitFor();
  await page.getByTestId('calibration-dueOn').fill(inDays(300));
  await page.getByTestId('calibration-asFound').fill('9.4ppm');
  await page.getByTestId('calibration-asLeft').fill('10ppm');
  await page.getByTestId('send-calibration').click();
  await page.getByTestId('checks').getByText('9.4 ppm → 10 ppm').waitFor();
  await lookAt(page, 'settings-sensors-told', size);
  expect(faults.filter((fault) => !/WebSocket|ERR_CONNECTION/.test(fault))).toEqual([]);
}, 180_000);
