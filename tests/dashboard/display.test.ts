import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, it } from 'vitest';
import { CONTRAST, axeComplaints } from './support/axe-complaints.ts';
import { startMockServer } from './support/mock-server.ts';
import { sideways, smallTargets } from './support/page-checks.ts';
import { pageUnderTest } from './support/page-under-test.ts';
import { belowTheFloor, colourfulShare, tabThrough } from './support/see.ts';
import { SCREENS, walkTo } from './support/walk.ts';

/** The mechanical ones of the display points (docs/display.md), on every screen of the built page. */
const under = pageUnderTest();
beforeEach(() => under.server.free('rig-b'));

async function choose(page: Page, ...names: string[]): Promise<void> {
  await page.getByTestId('menu').locator('summary').click();
  for (const name of names) await page.getByRole('radio', { name, exact: true }).check();
  await page.keyboard.press('Escape');
}

describe.each(['Day', 'Night', 'Sun'] as const)('light: %s', (light) => {
  // Only colours differ between the lights.
  it('axe finds nothing on any screen, while alarms stand', async () => {
    under.server.play('list');
    const { page, shoot } = await under.open('desk');
    await choose(page, light);
    const found: string[] = [];
    for (const [name, address, settled] of SCREENS) {
      await walkTo(page, address, settled);
      found.push(...(await axeComplaints(page, light === 'Day' ? undefined : CONTRAST[light])).map((complaint) => `${name}: ${complaint}`));
      if (light !== 'Day') await shoot(`${light.toLowerCase()}-${name}`);
    }
    expect(found).toEqual([]);
    await page.close();
  }, 180_000);
});

it('axe finds nothing where one signs in', async () => {
  const own = await startMockServer({ page: under.folder });
  const page = await under.browser.newPage();
  await page.goto(own.url);
  await page.getByTestId('sign-in').waitFor();
  expect(await axeComplaints(page)).toEqual([]);
  await page.close();
  await own.close();
}, 180_000);

it('2: normal is grey: under one hundredth of the pixels have colour, traces apart', async () => {
  const { page } = await under.open('desk');
  await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
  expect(await colourfulShare(page, '.uplot')).toBeLessThan(0.01);
  // The measure sees colour where there is some.
  under.server.play('co');
  await page.getByTestId('alarm-strip').getByTestId('alarm-c1').waitFor();
  expect(await colourfulShare(page, '.uplot')).toBeGreaterThan(0.02);
  await page.close();
}, 180_000);

it('15: without motion nothing moves, and what nobody has is still told apart', async () => {
  const { page } = await under.open('desk');
  under.server.play('co');
  const edge = page.getByTestId('alarm-strip').getByTestId('alarm-c1');
  await edge.waitFor();
  const running = (): Promise<number> => page.evaluate<number>(`document.getAnimations().filter((a) => a.playState === 'running' && a.id !== 'stand-still').length`);
  expect(await running()).toBeGreaterThan(0);
  await page.emulateMedia({ reducedMotion: 'reduce' });
  expect(await running()).toBe(0);
  expect(await edge.getAttribute('data-unacknowledged')).not.toBeNull();
  expect(await page.evaluate(`parseFloat(getComputedStyle(document.querySelector('[data-testid="alarm-strip"] [data-unacknowledged]'), '::after').borderTopWidth)`)).toBeGreaterThanOrEqual(3);
  await page.close();
}, 180_000);

it('17: in the sun lines are three pixels and more, on white', async () => {
  const { page } = await under.open('desk');
  await choose(page, 'Sun');
  expect(await page.evaluate(`parseFloat(getComputedStyle(document.querySelector('.pressure')).strokeWidth)`)).toBeGreaterThanOrEqual(3);
  expect(await page.evaluate(`getComputedStyle(document.documentElement).getPropertyValue('--paper')`)).toMatch(/^\s*#fff(fff)?$/);
  await page.close();
}, 180_000);

it('18, 21: at 320 pixels, as at twice the size, nothing is lost sideways, and what works is as large as a glove needs', async () => {
  under.server.play('list');
  const { page, shoot } = await under.open('narrow', true);
  const found: string[] = [];
  for (const [name, address, settled] of SCREENS) {
    await walkTo(page, address, settled);
    if ((await sideways(page)) !== 0) found.push(`${name}: wider than the window`);
    found.push(...(await belowTheFloor(page)).map((target) => `${name}: ${target}`), ...(await smallTargets(page, '.action:visible, .key:visible, .doors__door:visible')).map((target) => `${name}: too small for a glove: ${target}`));
    await shoot(`narrow-${name}`);
  }
  expect(found).toEqual([]);
  await page.close();
}, 180_000);

it('begins each screen at its top, however far down the one before was', async () => {
  const { page } = await under.open('phone');
  await walkTo(page, '#/shifts/shift-rig-a/summary', '[data-testid="alarms-part"]');
  await page.evaluate('window.scrollTo(0, 600)');
  expect(await page.evaluate('window.scrollY')).toBeGreaterThan(300);
  await walkTo(page, '#/shifts', '[data-testid="shift-list"]');
  await expect.poll(() => page.evaluate('window.scrollY')).toBe(0);
  await walkTo(page, '#/rig/rig-a', '[data-testid="entries"]');
  await page.close();
}, 180_000);

it('25: the keyboard reaches everything, with a ring to be seen and nothing over it', async () => {
  under.server.play('list');
  const { page } = await under.open('desk');
  const found: string[] = [];
  for (const [name, address, settled] of SCREENS.filter(([one]) => ['watch', 'alarms', 'shift-log', 'ready', 'rig', 'sizing'].includes(one))) {
    await walkTo(page, address, settled);
    const reached = await tabThrough(page);
    if (reached.length < 8) found.push(`${name}: only ${reached.length} reached`);
    found.push(...reached.filter((one) => one.ringPx < 2 || !one.isOnTop).map((one) => `${name}: ${one.what}: ${one.isOnTop ? 'no ring' : 'covered'}`));
  }
  expect(found).toEqual([]);
  await page.close();
}, 240_000);
