import type { Locator } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { startMockServer } from './support/mock-server.ts';
import { type SizeName, openPage } from './support/open-page.ts';
import { pageUnderTest } from './support/page-under-test.ts';

/** The built page in a real browser, against a made-up server that can raise alarms and fall silent. */
const under = pageUnderTest();

/** Where things stand on the page: compared before and after an alarm. */
async function places(...locators: Locator[]): Promise<number[]> {
  return Promise.all(locators.map(async (locator) => Math.round((await locator.boundingBox())?.y ?? -1)));
}

describe.each(['desk', 'phone', 'narrow'] satisfies SizeName[])('Watch at %s size', (size) => {
  it('shows the air first, live, with nothing to scroll sideways and no complaint of the browser', async () => {
    const { page, complaints, shoot } = await under.open(size);
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    expect(await page.getByTestId('rig-a-co-value').innerText()).toMatch(/^\d+$/);
    expect(await page.getByTestId('rig-a-breathing-pressure-value').innerText()).toMatch(/^\d+$/);
    expect(await page.getByTestId('advice').innerText()).toContain('does not replace');
    expect(await page.getByTestId('demo-band').isVisible()).toBe(true);
    expect(await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')).toBe(0);
    await shoot('normal');
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('raises an alarm without moving anything, and takes "I have it" with a gloved finger', async () => {
    const { page, shoot } = await under.open(size);
    const fixed = [page.getByTestId('air-rig-a'), page.getByTestId('rig-rig-a'), page.getByTestId('profile-rig-a')];
    const before = await places(...fixed);
    under.server.play('co');
    const alarm = page.getByTestId('alarm-strip').getByTestId('alarm-c1');
    await alarm.waitFor();
    expect(await places(...fixed)).toEqual(before);
    expect(await page.getByTestId('rig-a-co').getAttribute('data-priority')).toBe('critical');
    const button = alarm.getByTestId('acknowledge');
    const target = await button.boundingBox();
    expect(Math.min(target?.width ?? 0, target?.height ?? 0)).toBeGreaterThanOrEqual(72);
    await shoot('alarm');
    await button.click();
    await page.locator('[data-alarm="co-high"][data-state="acknowledged"]').first().waitFor({ state: 'attached' });
    await page.close();
  });

  it('is not live after the server falls silent, and live again with a snapshot', async () => {
    const { page, shoot } = await under.open(size);
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    under.server.freeze(true);
    await page.getByTestId('not-live-band').waitFor();
    expect(await page.getByTestId('not-live-band').innerText()).toContain('Nothing from the server for');
    expect(await page.evaluate(`getComputedStyle(document.querySelector('[data-testid="rig-a-co-value"]')).textDecorationLine`)).toBe('line-through');
    const clock = await page.getByTestId('clock').innerText();
    await page.waitForTimeout(1_500);
    expect(await page.getByTestId('clock').innerText()).toBe(clock);
    // Who can't see what is now may still go elsewhere: the menu stays over the band.
    await page.getByTestId('menu').locator('summary').click();
    await page.getByTestId('sign-out').waitFor();
    await page.keyboard.press('Escape');
    await shoot('not-live');
    under.server.freeze(false);
    await page.getByTestId('not-live-band').waitFor({ state: 'detached' });
    await page.close();
  });
});

describe('Watch', () => {
  it('mends a lost push by itself, without crying wolf', async () => {
    const { page } = await under.open('desk');
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    under.server.losePush();
    await page.waitForTimeout(1_200);
    expect(await page.getByTestId('not-live-band').count()).toBe(0);
    under.server.play('co');
    await page.getByTestId('alarm-strip').getByTestId('alarm-c1').waitFor();
    await page.close();
  });

  it('is not live from the moment it is looked at again until a snapshot comes', async () => {
    const { page } = await under.open('desk');
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    under.server.freeze(true);
    await page.evaluate(`document.dispatchEvent(new Event('visibilitychange'))`);
    await page.getByTestId('not-live-band').and(page.locator('[data-state="catching-up"]')).waitFor();
    under.server.freeze(false);
    // The question asked while nobody answered has to be asked again.
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    await page.close();
  });

  it('never shows a silent sensor as if it were good, nor joins the line across it', async () => {
    const { page, shoot } = await under.open('desk');
    under.server.play('lost');
    await page.getByTestId('rig-a-co').and(page.locator('[data-quality="not-good"]')).waitFor();
    expect(await page.getByTestId('rig-a-co').innerText()).toMatch(/sensor silent, 8\d s old/);
    expect(await page.getByTestId('profile-rig-a').locator('.pressure').count()).toBe(1);
    // What is computed in its place says so, and how far it may be off, beside the last needle reading.
    expect(await page.getByTestId('computed-nozzle').textContent()).toMatch(/^computed 9\d ± \d$/);
    expect(await page.getByTestId('profile-rig-a').getByTestId('needle').textContent()).toMatch(/^needle 94 at \d\d:\d\d$/);
    await shoot('lost');
    await page.close();
  });

  it('names the stretch where the pressure is lost', async () => {
    under.server.play('nozzle');
    const { page, shoot } = await under.open('desk');
    await page.getByTestId('blamed-segment').filter({ hasText: 'Nozzle pressure low: most is lost here' }).waitFor();
    await page.getByTestId('blamed-segment').filter({ hasText: 'Likely: rich mix, choke partly shut' }).waitFor();
    expect(await page.getByTestId('profile-rig-a').getByTestId('expected-nozzle').textContent()).toMatch(/^expected 9\d ± \d$/);
    await shoot('nozzle');
    await page.close();
  });

  it('says for as long as it lasts that nothing is recorded', async () => {
    const { page, shoot } = await under.open('desk');
    under.server.change({ recording: false });
    await page.getByTestId('not-recording-band').waitFor();
    await shoot('not-recording');
    await page.close();
  });

  it('gives those who look on no button', async () => {
    const looking = await startMockServer({ page: under.folder, role: 'viewer' });
    const { page } = await openPage(under.browser, looking.url, 'desk');
    looking.play('co');
    await page.getByTestId('alarm-c1').waitFor();
    expect(await page.getByTestId('acknowledge').count()).toBe(0);
    await page.close();
    await looking.close();
  });

  it.each(['Night', 'Sun'])('keeps the choice of %s and of units over a reload', async (theme) => {
    const { page, shoot } = await under.open('desk');
    under.server.play('co');
    await page.getByTestId('menu').locator('summary').click();
    await page.getByRole('radio', { name: theme }).check();
    await page.getByRole('radio', { name: 'bar °C' }).check();
    await page.reload();
    await page.getByTestId('alarm-c1').waitFor();
    expect(await page.getByTestId('rig-a-supply-pressure').innerText()).toContain('bar');
    expect(await page.locator('html').getAttribute('data-theme')).toBe(theme === 'Night' ? 'dark' : 'sun');
    await page.waitForTimeout(500);
    await shoot(`theme-${theme.toLowerCase()}`);
    await page.close();
  });
});
