import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { contrastOfOtherLights } from '../dashboard/support/axe-complaints.ts';
import { axeFindings, sideways } from '../dashboard/support/page-checks.ts';
import { launchBrowser, openPage, picture } from '../support/browser.ts';
import { startPotside } from '../support/potside-process.ts';
import { PASSWORD } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';

let browser: Browser;
beforeAll(async () => void (browser = await launchBrowser()));
afterAll(() => browser.close());

/** Two made-up hours are played in first. */
const STARTS_WITHIN_MS = 240_000;

it.each(['desktop', 'phone'] as const)('at %s size, one tap in the first run opens the demonstration in a tab of its own, which can’t be taken for the real thing', async (size) => {
  const { ready } = await startPotside('serve', '--data', tempDir(), '--port', '0', '--mqtt-port', '0');
  const { page, context, faults } = await openPage(browser, ready.url, size);
  await page.getByLabel('One-time code').fill((ready as unknown as { firstAdministratorCode: string }).firstAdministratorCode);
  await page.getByLabel('Name').fill('ada');
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Make administrator' }).click();
  await page.getByTestId('open-demonstration').scrollIntoViewIfNeeded();
  // Nothing is listened to yet.
  expect(await page.getByTestId('link-state').textContent()).toBe('');
  await picture(page, `demonstration-offered-${size}`);

  const [tab] = await Promise.all([context.waitForEvent('page'), page.getByTestId('open-demonstration').click()]);
  await tab.setViewportSize(page.viewportSize() ?? { width: 1440, height: 900 });
  await tab.getByTestId('demonstration-tab').waitFor({ timeout: 60_000 });
  expect(await axeFindings(tab)).toEqual([]);
  await picture(tab, `demonstration-starting-${size}`);
  // It goes on to the other program by itself, with the name and password filled in, and says what it is before and after.
  await tab.getByTestId('sign-in').waitFor({ timeout: STARTS_WITHIN_MS });
  expect(new URL(tab.url()).port).not.toBe(new URL(ready.url).port);
  await tab.getByTestId('demo-band').waitFor();
  expect(tab.url()).not.toContain('password');
  await picture(tab, `demonstration-sign-in-${size}`);
  await tab.getByRole('button', { name: 'Sign in' }).click();
  await tab.getByTestId('alarm-strip').waitFor({ timeout: 60_000 });
  expect(await tab.getByTestId('demo-band').isVisible()).toBe(true);

  // The first tab shows how to sign in there, and nobody was signed out of it.
  await page.getByTestId('demo-tender').locator('code').waitFor();
  await page.getByTestId('end-demonstration').scrollIntoViewIfNeeded();
  await picture(page, `demonstration-runs-${size}`);
  expect([await axeFindings(page), await contrastOfOtherLights(page), await sideways(page)]).toEqual([[], [], 0]);
  await page.reload();
  await page.getByTestId('first-run').waitFor();
  await page.getByTestId('end-demonstration').click();
  await page.getByTestId('open-demonstration').waitFor({ timeout: 60_000 });
  await tab.getByTestId('not-live-band').waitFor({ timeout: 60_000 });
  expect(faults.filter((fault) => !/WebSocket|ERR_CONNECTION/.test(fault))).toEqual([]);
}, 2 * STARTS_WITHIN_MS);
