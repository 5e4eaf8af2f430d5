import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { launchBrowser, openPage, picture } from '../support/browser.ts';
import { addSupervisor, startPotside } from '../support/potside-process.ts';
import { PASSWORD } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';

let browser: Browser;
beforeAll(async () => void (browser = await launchBrowser()));
afterAll(() => browser.close());

const SITE = `
site: { id: school, name: Practice yard, zone: America/Chicago, training: true }
compressors: [{ id: comp-1, rated-flow: 600cfm, serves: [rig-a, rig-b] }]
rigs:
  - { id: rig-a, name: Rig A, nozzle: { bore: 3/8in }, hose: { bore: 1.25in, length: 100ft }, respirator: { pressure: 50psi..75psi }, wanted: { nozzle-pressure: 90psi..105psi } }
  - { id: rig-b, name: Rig B }
`;

it('a trainer starts a drill with two taps and ends it; every screen says that nothing is real', async () => {
  const dir = tempDir();
  const config = join(dir, 'site.yaml');
  writeFileSync(config, SITE);
  addSupervisor(dir);
  const potside = await startPotside('serve', '--config', config, '--data', dir, '--port', '0', '--mqtt-port', '0');
  for (const size of ['desktop', 'phone'] as const) {
    const { page, context, faults } = await openPage(browser, potside.ready.url, size);
    onTestFinished(() => context.close());
    await page.getByLabel('Name').fill('dana');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    const band = page.getByTestId('training-band');
    await band.waitFor();
    expect(await band.innerText()).toMatch(/drill: nothing here is real/i);
    await page.getByTestId('drill-open').click();
    await page.getByTestId('drill-start-co-wind').waitFor();
    await picture(page, `drill-choose-${size}`);
    await page.getByTestId('drill-start-co-wind').click();
    await band.filter({ hasText: 'Playing co wind, started by dana' }).waitFor();
    // Its made-up readings arrive on the training site's own rigs.
    await page.getByTestId('rig-a-co-value').filter({ hasText: /^\d/ }).waitFor();
    await picture(page, `drill-running-${size}`);
    expect(await page.locator('html').evaluate((root: { scrollWidth: number; clientWidth: number }) => root.scrollWidth <= root.clientWidth)).toBe(true);
    // The push may come before the answer that closes the panel.
    await page.getByTestId('drill-panel').waitFor({ state: 'detached' });
    await page.getByTestId('drill-open').click();
    await page.getByTestId('drill-end').click();
    await band.filter({ hasText: 'Training site.' }).waitFor();
    expect(faults).toEqual([]);
  }
});
