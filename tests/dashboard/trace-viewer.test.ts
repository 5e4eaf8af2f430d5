import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { NIGHT_ID } from './support/fabricated-shifts.ts';
import { type MockServer, startMockServer } from './support/mock-server.ts';
import { buildPage } from './support/built-page.ts';
import { type SizeName, launch, openPage } from './support/open-page.ts';

/** The trace viewer in a real browser: mouse, wheel, fingers and keys; the clocks' change; one cursor over all. */
let browser: Browser;
let server: MockServer;
let folder: string;
let page: Page;

beforeAll(async () => {
  folder = await buildPage();
  [browser, server] = await Promise.all([launch(), startMockServer({ page: folder })]);
});
afterEach(() => page.close());
afterAll(async () => {
  await browser.close();
  await server.close();
});

const shiftId = (): string => [...server.shifts.shifts.values()].filter((one) => one.state === 'sealed' && one.rig === 'rig-a' && !one.drill && one.id !== NIGHT_ID).at(-1)?.id ?? '';

async function openTrace(size: SizeName, id = shiftId(), hasTouch = false): Promise<void> {
  ({ page } = await openPage(browser, server.url, size, hasTouch));
  await page.evaluate(`location.hash = '#/shifts/${id}/trace'`);
  await page.getByTestId('trace-view').waitFor();
  await settled();
}

const settled = (): Promise<void> => page.locator('[data-testid="trace-view"]:not([data-loading]) canvas').first().waitFor();
/** The stretch that is seen, ms. */
async function seen(): Promise<{ fromMs: number; toMs: number }> {
  const stretch = page.getByTestId('stretch');
  return { fromMs: Number(await stretch.getAttribute('data-from')), toMs: Number(await stretch.getAttribute('data-to')) };
}
const length = async (): Promise<number> => {
  const { fromMs, toMs } = await seen();
  return toMs - fromMs;
};
const HOUR = 3_600_000;

describe('trace viewer', () => {
  it('shows a single second of 400 ppm at the zoom of the whole shift, and asks for no more than the screen is wide', async () => {
    await openTrace('desk');
    const { width, fromMs, toMs } = server.shifts.traces.at(-1) ?? { width: 0, fromMs: 0, toMs: 0 };
    expect(width).toBeLessThan(1440);
    expect(width).toBeGreaterThan(1000);
    expect(toMs - fromMs).toBe(await length());
    // The scale of the panel reaches up to it.
    expect(await page.getByTestId('panel-co').locator('canvas').count()).toBe(1);
    await page.getByTestId('panel-co').scrollIntoViewIfNeeded();
    const box = await page.getByTestId('panel-co').boundingBox();
    const share = (187.25 * 60_000) / (await length());
    let most = 0;
    // The pixel that holds it, give or take one.
    for (const off of [-1, 0, 1]) {
      await page.mouse.move((box?.x ?? 0) + 40 + share * ((box?.width ?? 0) - 48) + off, (box?.y ?? 0) + 60);
      const words = await page.getByTestId('at-cursor-breathing-air-co').innerText();
      most = Math.max(most, ...words.match(/\d+/g)?.map(Number) ?? [0]);
    }
    expect(most).toBe(400);
  });

  it('has one cursor over all panels, and charts that are made once', async () => {
    await openTrace('desk');
    await page.evaluate(`window.first = [...document.querySelectorAll('canvas')]`);
    expect(await page.locator('canvas').count()).toBeLessThanOrEqual(20);
    await page.getByTestId('panel-steel').scrollIntoViewIfNeeded();
    const box = await page.getByTestId('panel-steel').boundingBox();
    await page.mouse.move((box?.x ?? 0) + 600, (box?.y ?? 0) + 60);
    await page.getByTestId('cursor').waitFor();
    for (const id of ['nozzle-pressure', 'supply-pressure', 'breathing-air-co', 'steel-margin']) expect(await page.getByTestId(`at-cursor-${id}`).innerText()).toMatch(/\d/);
    await page.getByTestId('trace-closer').click();
    await settled();
    await page.getByTestId('trace-later').click();
    await settled();
    expect(await page.evaluate(`[...document.querySelectorAll('canvas')].every((c, i) => c === window.first[i])`)).toBe(true);
  });

  it('zooms with Ctrl and the wheel, moves by dragging, and marks a stretch with Shift', async () => {
    await openTrace('desk');
    const whole = await length();
    const box = await page.getByTestId('panel-pressure').boundingBox();
    const [x, y] = [(box?.x ?? 0) + 700, (box?.y ?? 0) + 80];
    await page.mouse.move(x, y);
    await page.keyboard.down('Control');
    for (let i = 0; i < 6; i++) await page.mouse.wheel(0, -100);
    await page.keyboard.up('Control');
    await expect.poll(length).toBeLessThan(whole / 2);
    const before = await seen();
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 200, y, { steps: 4 });
    await page.mouse.up();
    const after = await seen();
    expect(after.fromMs).toBeLessThan(before.fromMs);
    expect(after.toMs - after.fromMs).toBe(before.toMs - before.fromMs);
    await page.keyboard.down('Shift');
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 100, y, { steps: 4 });
    await page.mouse.up();
    await page.keyboard.up('Shift');
    expect(await length()).toBeLessThan((after.toMs - after.fromMs) / 5);
    await settled();
    // The plain wheel scrolls the page, as anywhere else.
    const kept = await seen();
    await page.mouse.wheel(0, 300);
    await expect.poll(() => page.evaluate('window.scrollY')).toBeGreaterThan(0);
    expect(await seen()).toEqual(kept);
  });

  it('is moved and read by keys alone, and takes a note at the cursor', async () => {
    await openTrace('desk', 'shift-rig-a');
    const whole = await length();
    await page.getByTestId('trace-plots').focus();
    for (const key of ['ArrowRight', 'ArrowRight', '+', '+', 'Shift+ArrowLeft', 'PageDown']) await page.keyboard.press(key);
    expect(await length()).toBeLessThanOrEqual(whole / 4 + 2);
    await page.keyboard.press('Home');
    expect((await seen()).fromMs).toBe(Date.parse(server.shifts.shifts.get('shift-rig-a')?.startedAt ?? ''));
    await page.keyboard.press('n');
    await page.getByTestId('note-dialog').getByLabel('What is to be remembered?').fill('Starts here.');
    await page.getByTestId('note-do').click();
    await page.getByTestId('note-dialog').waitFor({ state: 'detached' });
    const sent = server.shifts.orders.findLast((order) => order.path.endsWith('/notes'))?.body;
    expect(Date.parse(String(sent?.['placedAt']))).toBe(Date.parse(server.shifts.shifts.get('shift-rig-a')?.startedAt ?? ''));
    await page.keyboard.press('0');
    await expect.poll(() => page.getByTestId('mark-note').count()).toBeGreaterThan(0);
  });

  it('follows two fingers, and leaves the page’s scrolling to one', async () => {
    await openTrace('phone', shiftId(), true);
    const whole = await length();
    await page.getByTestId('panel-co').scrollIntoViewIfNeeded();
    const box = await page.getByTestId('panel-co').boundingBox();
    const y = Math.round((box?.y ?? 0) + 60);
    const fingers = await page.context().newCDPSession(page);
    const touch = (type: string, ...xs: number[]): Promise<unknown> => fingers.send('Input.dispatchTouchEvent' as never, { type, touchPoints: xs.map((x, id) => ({ x, y, id })) } as never);
    await touch('touchStart', 150, 230);
    for (const apart of [10, 30, 50, 70]) await touch('touchMove', 150 - apart, 230 + apart);
    await touch('touchEnd');
    await expect.poll(length).toBeLessThan(whole / 2);
    await settled();
    const before = await seen();
    await touch('touchStart', 100);
    for (const by of [20, 60, 100, 140]) await touch('touchMove', 100 + by);
    await touch('touchEnd');
    await expect.poll(async () => (await seen()).fromMs).toBeLessThan(before.fromMs);
    expect(await page.evaluate(`getComputedStyle(document.querySelector('.viewer__plots')).touchAction`)).toBe('pan-y');
  });

  it('says of an hour that comes twice which one it is, in the site’s zone, and nothing of it in UTC', async () => {
    await openTrace('desk', NIGHT_ID);
    const start = Date.UTC(2026, 10, 1, 2);
    await page.evaluate(`location.hash = '#/shifts/${NIGHT_ID}/trace?at=${new Date(start + 4.5 * HOUR).toISOString()}'`);
    await page.reload();
    await settled();
    expect(await page.getByTestId('cursor-time').innerText()).toBe('Sun 1 Nov 2026 01:30:00 CDT');
    await page.evaluate(`location.hash = '#/shifts/${NIGHT_ID}/trace?at=${new Date(start + 5.5 * HOUR).toISOString()}'`);
    await page.reload();
    await settled();
    expect(await page.getByTestId('cursor-time').innerText()).toBe('Sun 1 Nov 2026 01:30:00 CST');
    await page.getByRole('radio', { name: 'UTC' }).check();
    expect(await page.getByTestId('cursor-time').innerText()).toBe('Sun 1 Nov 2026 07:30:00 UTC');
    await page.getByRole('radio', { name: 'bar °C' }).check();
    expect(await page.getByTestId('panel-pressure').innerText()).toContain('bar');
    await page.getByRole('radio', { name: 'Site' }).check();
    await page.getByRole('radio', { name: 'psi °F' }).check();
  });

  it('names alarms over the panels and brings one near when it is chosen; late values are called late', async () => {
    await openTrace('desk');
    await page.getByTestId('alarm-lane').getByRole('button', { name: /Carbon monoxide high/ }).click();
    expect(await length()).toBeLessThan(HOUR);
    await page.getByTestId('trace-whole').click();
    await settled();
    const shift = server.shifts.shifts.get(shiftId());
    const { fromMs, toMs } = await seen();
    const at = (minute: number): number => (Date.parse(shift?.startedAt ?? '') + minute * 60_000 - fromMs) / (toMs - fromMs);
    await page.getByTestId('panel-co').scrollIntoViewIfNeeded();
    const box = await page.getByTestId('panel-co').boundingBox();
    const point = (minute: number): Promise<void> => page.mouse.move((box?.x ?? 0) + 40 + at(minute) * ((box?.width ?? 0) - 48), (box?.y ?? 0) + 60);
    await point(71.5);
    await page.getByTestId('at-cursor-breathing-air-co').getByText('late').waitFor();
    await point(65);
    expect(await page.getByTestId('at-cursor-breathing-air-co').innerText()).toBe('no value');
  });
});
