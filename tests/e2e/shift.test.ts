import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { launchBrowser, openPage, picture, PICTURES } from '../support/browser.ts';
import { mosquittoPub, type PotsideProcess, runPotside, startPotside } from '../support/potside-process.ts';

let browser: Browser;
let files: string;
beforeAll(async () => {
  files = mkdtempSync(join(tmpdir(), 'potside-shift-'));
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser.close();
  rmSync(files, { recursive: true });
});

/** A page signed in as the demo's person of this role. */
async function as(potside: PotsideProcess, role: string, size: 'desktop' | 'phone' = 'desktop'): Promise<{ page: Page; faults: string[] }> {
  const user = potside.ready.users.find((held) => held.role === role);
  if (!user) throw new Error(`the demo has no ${role}`);
  const { page, context, faults } = await openPage(browser, potside.ready.url, size);
  onTestFinished(() => context.close());
  page.setDefaultTimeout(60_000);
  await page.getByLabel('Name').fill(user.name);
  await page.getByLabel('Password').fill(user.password);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByTestId('alarm-strip').waitFor();
  return { page, faults };
}

async function download(page: Page, file: string): Promise<string> {
  const [got] = await Promise.all([page.waitForEvent('download'), page.getByTestId(`file-${file}`).click()]);
  const path = join(files, `${Math.trunc(performance.now())}-${file}`);
  await got.saveAs(path);
  return path;
}

/** Opens a report as another program does: its words, on one line, and each of its pages as a picture, none of them empty. */
function openReport(file: string): string {
  mkdirSync(PICTURES, { recursive: true });
  const ofReport = (): string[] => readdirSync(PICTURES).filter((name) => /^report-\d+\.png$/.test(name));
  for (const old of ofReport()) rmSync(join(PICTURES, old));
  const { stdout } = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
  expect(spawnSync('pdftoppm', ['-r', '60', '-png', file, join(PICTURES, 'report')], { encoding: 'utf8' })).toMatchObject({ status: 0, stderr: '' });
  const pages = ofReport();
  expect(pages).toHaveLength(stdout.split('\f').length - 1);
  // A sheet without a mark on it is a picture of some 700 bytes.
  for (const page of pages) expect(statSync(join(PICTURES, page)).size, page).toBeGreaterThan(3000);
  return stdout.replaceAll(/\s+/g, ' ');
}

async function endShift(page: Page): Promise<void> {
  await page.getByTestId('end-shift').click();
  await page.getByTestId('end-do').click();
  await page.getByTestId('sign-off').waitFor();
}

describe('the life of a shift, in a browser and over the real server', () => {
  it('starts, works, alarms, is handed over, ended, signed by two, taken away and verified, and found again', async () => {
    const potside = await startPotside('demo', '--scenario', 'quiet', '--port', '0', '--mqtt-port', '0');
    const supervisor = await as(potside, 'supervisor');
    const { page } = supervisor;
    await page.getByTestId('link-state').and(page.locator('[data-state=live]')).waitFor();
    const rig = (await page.locator('[data-testid^="tend-"]').last().getAttribute('data-testid'))?.replace('tend-', '') ?? '';

    // The morning's shift is ended, a new one started: what was set up then stands there already.
    await page.getByTestId(`tend-${rig}`).click();
    await page.getByTestId('this-shift').click();
    await endShift(page);
    await page.evaluate(`location.hash = '#/shifts/start?rig=${rig}'`);
    await page.locator('input[name="nozzleBore"]').waitFor();
    await expect.poll(() => page.locator('input[name="nozzleBore"]').inputValue()).not.toBe('');
    await page.locator('input[name="abrasive"]').fill('Staurolite, lot 77');
    await page.getByTestId('crew-more').click();
    await page.getByTestId('crew').getByLabel('Name').last().fill('N. Brandt');
    await picture(page, 'shifts-start-desktop');
    await page.getByTestId('start-do').click();
    await page.getByTestId('shift-one').and(page.locator('[data-state=open]')).waitFor();
    const shift = page.url().split('#/shifts/')[1] ?? '';

    // Work: hood and needle in two taps each.
    await page.getByTestId('to-rig').click();
    await page.getByTestId('hood-in').filter({ hasText: 'N. Brandt' }).click();
    await page.getByTestId('hood-out').filter({ hasText: 'N. Brandt' }).waitFor();
    await page.getByTestId('entry-needle').click();
    await page.locator('[data-testid="value"]:enabled').first().waitFor();
    await picture(page, 'rig-needle-desktop');
    await page.getByTestId('value').nth(5).click();
    await page.getByTestId('last-entries').getByText(/^.*Needle \d+ psi/).first().waitFor();

    // An alarm comes and is taken.
    const site = shift.replace(/-\d+-\d+$/, '');
    mosquittoPub(potside.mqttPort, `potside/${site}/${rig}/breathing-air-co`, '12.5');
    const alarm = page.getByTestId('alarm-strip').locator(`[data-alarm="co-high"]`).filter({ has: page.getByTestId('acknowledge') });
    await alarm.getByTestId('acknowledge').first().click();

    // A note and the handover.
    await page.evaluate(`location.hash = '#/shifts/${shift}'`);
    await page.getByTestId('add-note').click();
    await page.getByLabel('What is to be remembered?').fill('CO at the panel: a truck idled by the intake, sent away.');
    await page.getByTestId('note-do').click();
    await page.getByTestId('log-note').getByText('a truck idled').waitFor();
    await page.getByTestId('hand-over').click();
    await page.getByLabel('To whom?').fill('N. Brandt');
    await page.getByLabel('What they have to know').fill('Keep trucks off the north side.');
    await page.getByTestId('handover-do').click();
    await page.getByTestId('log-handover').getByText('Handed over to N. Brandt').waitFor();
    await picture(page, 'shifts-log-desktop');
    await page.getByTestId('shift-tab-trace').click();
    await page.locator('[data-testid="trace-view"]:not([data-loading]) canvas').first().waitFor();
    await page.getByTestId('mark-note').waitFor();
    await page.getByTestId('alarm-lane').getByRole('button', { name: /carbon monoxide high/i }).waitFor();
    await picture(page, 'shifts-trace-running-desktop');

    // Ended, and signed by two people in two roles.
    await page.getByTestId('shift-tab-log').click();
    await endShift(page);
    await page.getByTestId('sign-off-do').click();
    await page.getByText('You have signed.').waitFor();
    const officer = await as(potside, 'safety-officer', 'phone');
    await officer.page.evaluate(`location.hash = '#/shifts/${shift}'`);
    await officer.page.getByTestId('sign-off-do').click();
    await officer.page.getByTestId('seal').waitFor({ timeout: 60_000 });
    await picture(officer.page, 'shifts-sealed-phone');
    const root = await officer.page.getByTestId('root').innerText();
    const key = await officer.page.getByTestId('key').innerText();

    // Found again months later by the manager, by a word of its setup; read, taken away, verified without the server.
    const manager = await as(potside, 'manager');
    await manager.page.getByTestId('second-door').click();
    await manager.page.getByLabel('Find').fill('staurolite');
    await expect.poll(() => manager.page.locator('.shift-row').count()).toBe(1);
    await manager.page.locator('[data-drawn]').first().waitFor();
    await picture(manager.page, 'shifts-found-desktop');
    await manager.page.getByTestId(`shift-row-${shift}`).locator('a').click();
    await manager.page.getByTestId('seal').waitFor();
    expect(await manager.page.getByTestId('root').innerText()).toBe(root);
    const report = await download(manager.page, 'report.pdf');
    const words = openReport(report);
    for (const told of ['N. Brandt', 'a truck idled by the intake', '12.5 ppm', 'Staurolite', 'no substitute for the carbon monoxide alarm']) expect(words).toContain(told);
    const record = await download(manager.page, 'record.zip');
    const csv = readFileSync(await download(manager.page, 'trace.csv'), 'utf8');
    expect(csv).toContain('12.5');
    expect(readFileSync(await download(manager.page, 'trace.parquet')).subarray(0, 4).toString()).toBe('PAR1');
    const verified = runPotside(['verify', record, '--key', key.replaceAll(' ', '')]);
    expect(verified, verified.err).toMatchObject({ code: 0 });
    expect(verified.out).toContain(root);

    await manager.page.getByTestId('shift-tab-summary').click();
    await manager.page.getByTestId('coverage').waitFor();
    expect(await manager.page.getByTestId('people').innerText()).toContain('N. Brandt');
    expect(await manager.page.getByTestId('alarms-part').innerText()).toMatch(/Carbon monoxide high/);
    await picture(manager.page, 'shifts-summary-desktop');
    await manager.page.getByTestId('shift-tab-rejudge').click();
    await manager.page.locator('input[name="deadband"]').fill('1 psi');
    await manager.page.getByTestId('rejudge-do').click();
    await manager.page.getByTestId('side-by-side').waitFor();
    await picture(manager.page, 'shifts-side-by-side-desktop');
    await manager.page.evaluate(`location.hash = '#/shifts/overview'`);
    await manager.page.getByTestId('rig-table').waitFor();
    await expect.poll(() => manager.page.getByTestId('measure-alarms').locator('.measure__mark').count()).toBeGreaterThan(0);
    await picture(manager.page, 'shifts-overview-desktop');

    expect([...supervisor.faults, ...officer.faults, ...manager.faults].filter((fault) => !/WebSocket|ERR_/.test(fault))).toEqual([]);
    expect((await potside.end('SIGINT')).code).toBe(0);
  }, 400_000);
});
