import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { launchBrowser, openPage, picture, type SIZES } from '../support/browser.ts';
import { mosquittoPub, startPotside, type PotsideProcess } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';

let browser: Browser;
beforeAll(async () => void (browser = await launchBrowser()));
afterAll(() => browser.close());

function account(potside: PotsideProcess, role: string): { name: string; password: string } {
  const user = potside.ready.users.find((held) => held.role === role);
  if (!user) throw new Error(`the demo has no ${role}`);
  return user;
}

async function signInPage(page: Page, { name, password }: { name: string; password: string }): Promise<void> {
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByTestId('alarm-strip').waitFor();
}

/** True when nothing on the page is wider than the page. */
function fitsItsWidth(page: Page): Promise<boolean> {
  return page.locator('html').evaluate((root: { scrollWidth: number; clientWidth: number }) => root.scrollWidth <= root.clientWidth);
}

describe('the demo, in a browser', () => {
  it('shows a live line with its morning, an alarm, who has it, and that the server is gone', async () => {
    const potside = await startPotside('demo', '--port', '0', '--mqtt-port', '0');
    const { url } = potside.ready;
    const sites = await signedIn(url, account(potside, 'supervisor'));
    const [site, rig] = await sites();
    const pages: { name: keyof typeof SIZES; page: Page; context: BrowserContext; faults: string[] }[] = [];
    for (const name of ['desktop', 'phone'] as const) {
      const opened = await openPage(browser, url, name);
      onTestFinished(() => opened.context.close());
      await signInPage(opened.page, account(potside, name === 'desktop' ? 'supervisor' : 'safety-officer'));
      pages.push({ name, ...opened });
    }
    const [desktop, phone] = pages;
    if (!desktop || !phone) throw new Error('no pages');

    // A live line of two rigs with history.
    await desktop.page.getByTestId(`profile-${rig}`).waitFor();
    await desktop.page.getByTestId('link-state').and(desktop.page.locator('[data-state=live]')).waitFor();
    expect(await desktop.page.locator('[data-testid^="profile-"]').count()).toBe(2);
    expect(await desktop.page.getByTestId('demo-band').isVisible()).toBe(true);
    await desktop.page.locator(`[data-testid="shift-${rig}"] canvas`).first().waitFor();
    await new Promise((resolve) => setTimeout(resolve, 1_500));
    for (const { name, page } of pages) {
      expect([name, await fitsItsWidth(page)]).toEqual([name, true]);
      await picture(page, `watch-normal-${name}`);
    }

    // A sensor that is not ours says 12.5 ppm; the page says so.
    mosquittoPub(potside.mqttPort, `potside/${site}/${rig}/breathing-air-co`, '12.5');
    const strip = desktop.page.getByTestId('alarm-strip');
    await strip.getByText(/carbon monoxide high/i).first().waitFor();
    await phone.page.getByTestId('alarm-strip').getByText(/carbon monoxide high/i).first().waitFor();
    for (const { name, page } of pages) await picture(page, `watch-alarm-${name}`);

    // One tap says who has it, on both screens.
    await phone.page.getByTestId('acknowledge').first().click();
    await strip.getByText(/safety/).first().waitFor();
    await picture(desktop.page, 'watch-acknowledged-desktop');

    // The Alarms screen, one tap away: the card, then who came out, the journal and the metrics, of the real server.
    for (const { name, page } of pages) {
      await page.getByTestId('door').click();
      await page.getByTestId('alarms-screen').waitFor();
      await page.getByTestId('toggle-card').first().click();
      await page.getByText('Do first').first().waitFor();
      await picture(page, `alarms-card-${name}`);
      expect([name, await fitsItsWidth(page)]).toEqual([name, true]);
    }
    await phone.page.getByTestId('confirm-out').last().click();
    await desktop.page.getByRole('link', { name: 'Journal', exact: true }).click();
    await desktop.page.getByTestId('journal-entry').first().waitFor();
    expect(await desktop.page.getByTestId('journal-entry').count()).toBeGreaterThan(2);
    await picture(desktop.page, 'alarms-journal-desktop');
    await desktop.page.getByRole('link', { name: 'Metrics', exact: true }).click();
    await desktop.page.getByTestId('figures').waitFor();
    await picture(desktop.page, 'alarms-metrics-desktop');
    for (const { page } of pages) {
      await page.getByTestId('door').click();
      await page.getByTestId(`profile-${rig}`).waitFor({ state: 'attached' });
    }

    // The server stands still: within some seconds nothing passes for live any more.
    potside.child.kill('SIGSTOP');
    await desktop.page.getByTestId('not-live-band').waitFor();
    await phone.page.getByTestId('not-live-band').waitFor();
    for (const { name, page } of pages) await picture(page, `watch-not-live-${name}`);
    potside.child.kill('SIGCONT');
    await desktop.page.getByTestId('not-live-band').waitFor({ state: 'detached' });

    expect(pages.flatMap(({ faults }) => faults).filter((fault) => !/WebSocket|ERR_/.test(fault))).toEqual([]);
    expect((await potside.end('SIGINT')).code).toBe(0);
  });
});

/** The first site and rig of the demo, asked over the API. */
async function signedIn(url: string, { name, password }: { name: string; password: string }): Promise<() => Promise<[string, string]>> {
  const { signIn } = await import('../support/potside-process.ts');
  const client = await signIn(url, name, password);
  return async () => {
    await until(async () => (await client.get('/api/rigs')).items.length > 0, 'the rigs');
    const [rig] = (await client.get('/api/rigs')).items;
    return [rig.site, rig.id];
  };
}
