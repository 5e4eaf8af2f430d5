import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Shift } from '../../dashboard/api/shift-shapes.ts';
import { fabricatedPhoto } from './support/fabricated-photo.ts';
import type { ShiftOrder } from './support/mock-shift-routes.ts';
import { type MockServer, startMockServer } from './support/mock-server.ts';
import { buildPage } from './support/built-page.ts';
import { type Opened, type SizeName, launch, openPage } from './support/open-page.ts';
import { axeFindings, sideways, smallTargets } from './support/page-checks.ts';
import { nothingLoads } from './support/walk.ts';
import { NIGHT_ID } from './support/fabricated-shifts.ts';

/** The Shifts screen in a real browser, against made-up shifts. Pictures land beside the others, to be looked at. */
let browser: Browser;
let server: MockServer;
let folder: string;
let opened: Opened | null = null;

beforeAll(async () => {
  folder = await buildPage();
  browser = await launch();
});
beforeEach(async () => void (server = await startMockServer({ page: folder })));
afterEach(async () => {
  await opened?.page.close();
  opened = null;
  await server.close();
});
afterAll(async () => {
  await browser.close();
});

async function openAt(size: SizeName, hash: string, testId: string, hasTouch = false): Promise<Opened> {
  opened = await openPage(browser, server.url, size, hasTouch, { hash, testId });
  return opened;
}

const sealedId = (): string => [...server.shifts.shifts.values()].filter((one) => one.state === 'sealed' && !one.drill && one.rig === 'rig-a' && one.corrections.length > 0 && one.id !== NIGHT_ID).at(-1)?.id ?? '';
const SETTLED = { list: '[data-drawn]', trace: '[data-testid="trace-view"]:not([data-loading])' };

describe.each(['desk', 'phone'] satisfies SizeName[])('Shifts at %s size', (size) => {
  it.each([
    ['list', '#/shifts', 'shift-list'],
    ['log', 'SEALED', 'shift-one'],
    ['trace', 'SEALED/trace', 'trace-view'],
    ['night', `#/shifts/${NIGHT_ID}/trace`, 'trace-view'],
    ['compare', '#/shifts/compare/SEALED/shift-rig-b', 'compare-view'],
    ['summary', 'SEALED/summary', 'summary'],
    ['other-limits', 'SEALED/rejudge', 'rejudge'],
    ['start', '#/shifts/start?rig=rig-b', 'start-shift'],
    ['overview', '#/shifts/overview?days=90', 'rig-table'],
    ['proposals', '#/shifts/proposals', 'proposals'],
    ['rig', '#/rig/rig-a', 'rig-page'],
  ])('shows %s, as wide as the page, without a finding of axe or a complaint of the browser', async (name, hash, testId) => {
    if (name === 'start') server.free('rig-b');
    const { page, shoot, complaints } = await openAt(size, hash.replace(/^SEALED/, `#/shifts/${sealedId()}`).replace('SEALED', sealedId()), testId);
    if (name === 'list') {
      // Only what is looked at is drawn.
      if (size === 'phone') await shoot('shifts-list-top');
      await page.locator('.shift-picture').first().scrollIntoViewIfNeeded();
      await page.locator(SETTLED.list).first().waitFor();
    }
    if (name === 'trace' || name === 'night') await page.locator(SETTLED.trace).waitFor();
    if (name === 'compare') await page.locator('[data-testid="compare-view"]:not([data-loading])').waitFor();
    await nothingLoads(page);
    expect(await sideways(page)).toBe(0);
    await shoot(`shifts-${name}`);
    await page.screenshot({ path: `tests/output/dashboard/${size}-shifts-${name}-whole.png`, fullPage: true });
    expect(await axeFindings(page)).toEqual([]);
    expect(complaints).toEqual([]);
  });
});

const texts = (page: Page, selector: string): Promise<string[]> => page.locator(selector).allInnerTexts();
const orderTo = (path: RegExp): ShiftOrder | undefined => server.shifts.orders.findLast((order) => path.test(order.path));

describe('finding a shift', () => {
  it('is one tap from Watch, narrows by what is typed and chosen, and keeps it on the way back', async () => {
    opened = await openPage(browser, server.url, 'desk');
    const { page } = opened;
    await page.getByTestId('second-door').click();
    await page.getByTestId('shift-row-shift-rig-a').waitFor();
    expect((await texts(page, '.shift-row__when'))[0]).toContain('since');
    await page.getByLabel('Find').fill('landward');
    await expect.poll(() => page.getByTestId('shift-row-shift-rig-a').count()).toBe(0);
    await page.getByRole('combobox').first().selectOption('rig-b');
    await expect.poll(async () => [...new Set(await texts(page, '.shift-row__rig'))]).toEqual(['Rig B']);
    await page.locator('.shift-row__open').first().click();
    await page.getByTestId('shift-one').waitFor();
    await page.goBack();
    await page.getByTestId('shift-list').waitFor();
    expect(await page.getByLabel('Find').inputValue()).toBe('landward');
    expect(page.url()).toContain('rig=rig-b');
  });

  it('marks drills and replays beyond doubt, in the list and over the shift itself', async () => {
    const drill = [...server.shifts.shifts.values()].find((one) => one.drill)?.id ?? '';
    const { page, shoot } = await openAt('desk', '#/shifts', 'shift-list');
    await page.getByTestId(`shift-row-${drill}`).scrollIntoViewIfNeeded();
    expect(await page.getByTestId(`shift-row-${drill}`).getByTestId('made-up').innerText()).toMatch(/drill/i);
    await shoot('shifts-list-drill');
    await page.getByTestId(`shift-row-${drill}`).locator('a').click();
    expect(await page.getByTestId('made-up-band').innerText()).toMatch(/drill/i);
    await shoot('shifts-drill');
  });

  it('fetches older ones when asked, and lays two over one another', async () => {
    const { page } = await openAt('desk', '#/shifts', 'shift-list');
    await page.getByTestId('older-shifts').click();
    await expect.poll(() => page.locator('.shift-row').count()).toBe(40);
    for (const id of ['shift-rig-a', sealedId()]) await page.getByTestId(`pick-${id}`).check();
    await page.getByTestId('compare').click();
    await page.locator('[data-testid="compare-view"]:not([data-loading])').waitFor();
    expect(await page.locator('.compare__names > li').count()).toBe(2);
    expect(await page.locator('canvas').count()).toBeLessThanOrEqual(20);
  });
});

describe('the life of a shift', () => {
  it('starts with what the last shift had, goes through note, handover and end, is signed by two and sealed', async () => {
    server.free('rig-b');
    const { page, shoot } = await openAt('desk', '#/shifts/start', 'start-shift');
    await expect.poll(() => page.locator('input[name="nozzleBore"]').inputValue()).toBe('7/16 in');
    await page.locator('input[name="hoseLength"]').fill('about 30');
    await page.getByTestId('start-do').click();
    await page.getByText('Hose length: write a number with its unit').waitFor();
    await page.locator('input[name="hoseLength"]').fill('40 m');
    await page.getByTestId('start-do').click();
    await page.getByTestId('shift-one').waitFor();
    const started = orderTo(/^\/api\/shifts$/)?.body as unknown as Shift;
    expect(started).toMatchObject({ rig: 'rig-b', setup: { nozzleBore: { value: 0.4375, unit: '[in_i]' }, hoseLength: { value: 40, unit: 'm' } } });
    expect(started.crew.map((one) => one.name)).toEqual(['J. Ortega', 'P. Lind', 'R. Calder']);

    await page.getByTestId('add-note').click();
    await page.getByTestId('note-dialog').getByLabel('What is to be remembered?').fill('Choke sticks.');
    await page.getByTestId('photo').setInputFiles({ name: 'gauge.png', mimeType: 'image/png', buffer: fabricatedPhoto() });
    await page.getByTestId('photo-sent').waitFor();
    await shoot('shifts-note');
    await page.getByTestId('note-do').click();
    await page.getByTestId('log-note').getByText('Choke sticks.').waitFor();
    expect(orderTo(/notes$/)?.body).toEqual({ text: 'Choke sticks.', photo: 'photo-2' });
    expect(orderTo(/photos$/)?.body).toEqual({ bytes: fabricatedPhoto().length });

    await page.getByTestId('hand-over').click();
    await page.getByTestId('handover-do').click();
    await page.getByText('Say to whom, and what they have to know.').waitFor();
    await page.getByLabel('To whom?').fill('P. Lind');
    await page.getByLabel('What they have to know').fill('Choke sticks, spare is in the box.');
    await page.getByTestId('handover-do').click();
    await page.getByTestId('log-handover').getByText('Handed over to P. Lind').waitFor();

    await page.getByTestId('end-shift').click();
    expect(await page.getByTestId('missing').innerText()).toContain('No needle reading');
    await shoot('shifts-end');
    await page.getByTestId('end-do').click();
    await page.getByTestId('sign-off').waitFor();
    await shoot('shifts-to-sign');
    await page.getByTestId('sign-off-do').click();
    await page.getByText('You have signed.').waitFor();
    expect(orderTo(/sign-off$/)?.body).toEqual({ meaning: 'checked and complete' });
    expect(await page.getByTestId('sign-off-do').count()).toBe(0);

    server.become('T. Okafor', 'safety-officer');
    await page.reload();
    await page.getByTestId('sign-off-do').filter({ hasText: 'T. Okafor' }).click();
    await page.getByTestId('seal').waitFor();
    expect(orderTo(/sign-off$/)?.body).toEqual({ meaning: 'approved' });
    expect(await page.getByTestId('root').innerText()).toBe('c0'.repeat(32));
    expect(await page.getByTestId('add-note').count()).toBe(0);
    await shoot('shifts-sealed');
  });

  it('is corrected by additions only', async () => {
    const { page } = await openAt('phone', `#/shifts/${sealedId()}`, 'shift-one');
    await page.getByTestId('log-entry').filter({ hasText: 'Needle 96 psi' }).getByTestId('correct').click();
    await page.getByLabel('What is right?').fill('94, misread.');
    await page.getByTestId('correct-do').click();
    await page.getByTestId('log-entry').filter({ hasText: 'Needle 96 psi' }).getByText('94, misread.').waitFor();
    expect(orderTo(/corrections$/)?.body).toEqual({ of: `${sealedId()}-e2`, text: '94, misread.' });
  });

  it('offers nothing to do to those who look on, and the files to everybody', async () => {
    server.become('casey', 'viewer');
    const { page } = await openAt('desk', '#/shifts/shift-rig-a', 'shift-one');
    for (const id of ['add-note', 'hand-over', 'end-shift', 'correct', 'change-setup', 'sign-off-do']) expect([id, await page.getByTestId(id).count()]).toEqual([id, 0]);
    expect(await page.getByTestId('file-report.pdf').getAttribute('href')).toBe('/api/shifts/shift-rig-a/report.pdf');
    expect(await page.getByTestId('files').innerText()).toContain('potside verify shift-rig-a.zip');
  });

  it('changes the setup of a running shift, leaving what nobody touched exactly as it was', async () => {
    const { page } = await openAt('desk', '#/shifts/shift-rig-a', 'shift-one');
    await page.getByTestId('change-setup').click();
    await page.getByTestId('setup-dialog').locator('input[name="nozzleBore"]').fill('12 mm');
    await page.getByTestId('setup-do').click();
    await page.getByTestId('setup-dialog').waitFor({ state: 'detached' });
    expect(orderTo(/setup$/)).toMatchObject({ method: 'PUT', body: { nozzleBore: { value: 12, unit: 'mm' }, hoseBore: { value: 1.25, unit: '[in_i]' }, abrasive: 'Garnet 30/60, lot 2214' } });
  });
});

describe.each(['desk', 'phone'] satisfies SizeName[])('at the rig, %s size', (size) => {
  it('takes readings in two taps and logs people in and out, with targets for gloves', async () => {
    const { page, shoot } = await openAt(size, '#/rig/rig-a', 'rig-page');
    expect(await smallTargets(page, 'main button:visible, main a:visible')).toEqual([]);
    await page.getByTestId('entry-needle').click();
    await page.locator('[data-testid="value"]:enabled').first().waitFor();
    await shoot('rig-needle');
    expect(await smallTargets(page, 'main button:visible')).toEqual([]);
    await page.getByRole('button', { name: '94 psi', exact: true }).click();
    await page.getByTestId('noted').getByText('Noted: Needle 94 psi').waitFor();
    expect(orderTo(/rig-a\/entries$/)?.body).toEqual({ kind: 'needle', place: '', text: '', value: 94, unit: '[psi]' });
    await page.getByTestId('last-entries').getByText('Needle 94 psi').waitFor();

    await page.getByTestId('entry-spot').click();
    await page.getByTestId('value').nth(4).click();
    await expect.poll(() => orderTo(/entries$/)?.body).toMatchObject({ kind: 'spot', place: 'Gate 3, lower girder', unit: '[degF]' });

    await page.getByTestId('entry-stopped').click();
    await page.getByRole('button', { name: 'Weather' }).click();
    await expect.poll(() => orderTo(/entries$/)?.body).toEqual({ kind: 'stopped', place: '', text: 'weather' });
    await page.getByTestId('entry-stopped').filter({ hasText: 'Work goes on' }).click();
    await expect.poll(() => orderTo(/entries$/)?.body).toEqual({ kind: 'resumed', place: '', text: '' });

    await page.getByTestId('hood-out').filter({ hasText: 'J. Ortega' }).click();
    await page.getByTestId('hood-in').filter({ hasText: 'J. Ortega' }).click();
    await page.getByTestId('hood-out').filter({ hasText: 'J. Ortega' }).waitFor();
    expect(orderTo(/hood-in$/)?.body).toEqual({ name: 'J. Ortega' });
  });

  it('is found from Watch', async () => {
    opened = await openPage(browser, server.url, size);
    await opened.page.getByTestId(size === 'desk' ? 'tend-rig-a' : 'door-rig').click();
    await opened.page.getByTestId('rig-page').waitFor();
    await opened.page.getByTestId('this-shift').click();
    await opened.page.getByTestId('shift-one').waitFor();
  });
});

describe('judging anew', () => {
  it('shows before and after side by side, saves a proposal, and lets an administrator put it into force', async () => {
    const { page, shoot } = await openAt('desk', `#/shifts/${sealedId()}/rejudge`, 'rejudge');
    await page.getByTestId('rejudge-do').click();
    await page.getByText('Change something first.').waitFor();
    await page.locator('input[name="limit"]').fill('80');
    await page.getByTestId('rejudge-do').click();
    await page.getByText('Limit needs a number with a unit').waitFor();
    await page.locator('input[name="limit"]').fill('80 psi');
    await page.locator('input[name="on-delay"]').fill('1 min');
    await page.getByRole('radio', { name: 'This and the last 4' }).check();
    await page.getByTestId('rejudge-do').click();
    await page.getByTestId('side-by-side').waitFor();
    const sent = orderTo(/rejudge$/)?.body as { alarms: unknown; shifts: string[] };
    expect(sent.alarms).toEqual({ 'nozzle-pressure-low': { limit: '80 psi', 'on-delay': '1 min' } });
    expect(sent.shifts.length).toBe(4);
    expect(await page.locator('[data-testid="judged"][data-side="before"]').count()).toBe(6);
    expect(await page.locator('[data-testid="judged"][data-side="after"]').count()).toBe(1);
    await page.getByTestId('side-by-side').scrollIntoViewIfNeeded();
    await shoot('shifts-side-by-side');
    expect(await axeFindings(page)).toEqual([]);
    await page.getByLabel('Why?').fill('Trims at each start raise it.');
    await page.getByTestId('propose-do').click();
    await page.getByRole('link', { name: 'Proposals' }).click();
    await page.getByTestId('proposal-p1').waitFor();
    expect(await page.getByTestId('put-into-force').count()).toBe(0);

    server.become('ada', 'administrator');
    await page.reload();
    await page.getByTestId('put-into-force').click();
    await page.getByTestId('decide-dialog').getByLabel('Why?').fill('Agreed at the morning round.');
    await page.getByTestId('decide-do').click();
    await page.getByTestId('proposal-p1').getByText('In force since').waitFor();
    expect(orderTo(/put-into-force$/)?.body).toEqual({ reason: 'Agreed at the morning round.' });
    await shoot('shifts-proposal');
  });
});

describe('the manager', () => {
  it('sees shifts across rigs as plots and opens one from a mark', async () => {
    server.become('mona', 'manager');
    const { page } = await openAt('desk', '#/shifts/overview?days=90', 'rig-table');
    for (const measure of ['pressure', 'lost', 'bore', 'alarms']) expect(await page.getByTestId(`measure-${measure}`).locator('.measure__mark').count()).toBeGreaterThan(20);
    expect(await page.getByTestId('measure-alarms').locator('[data-stands]').count()).toBeGreaterThan(0);
    expect(await page.locator('.measure__mark[data-made-up]').count()).toBe(0);
    await page.getByRole('radio', { name: 'Shown too' }).check();
    await expect.poll(() => page.locator('.measure__mark[data-made-up]').count()).toBeGreaterThan(0);
    await page.getByTestId('measure-bore').locator('.measure__mark').last().focus();
    await page.keyboard.press('Enter');
    await page.getByTestId('shift-one').waitFor();
  });
});
