import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { CO, NOZZLE } from './support/alarm-scenarios.ts';
import { fabricatedAlarm } from './support/fabricated-site.ts';
import { startMockServer } from './support/mock-server.ts';
import { type Opened, type SizeName, openPage } from './support/open-page.ts';
import { pageUnderTest } from './support/page-under-test.ts';
import type { Scenario } from './support/scenarios.ts';
import { nothingLoads } from './support/walk.ts';

/** The Alarms screen in a real browser. Pictures land beside the others, to be looked at. */
const under = pageUnderTest();

async function openAlarms(size: SizeName, scenario: Scenario, hash = '#/alarms', url = under.server.url): Promise<Opened> {
  under.server.play(scenario);
  const opened = await openPage(under.browser, url, size, false, { hash, testId: 'alarms-screen' });
  // Live once the snapshot is there, with its alarms.
  await opened.page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
  await nothingLoads(opened.page);
  return opened;
}

const entryKeys = (page: Page): Promise<string[]> =>
  page.evaluate(`[...document.querySelectorAll('[data-testid^="entry-"]')].map((e) => e.dataset.testid.replace('entry-', ''))`);
const sideways = (page: Page): Promise<unknown> => page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');
/** A hand that reads moves; the list is held once it has felt it, which on a busy machine is not at once. */
async function readAt(page: Page, testId: string): Promise<void> {
  await expect
    .poll(
      async () => {
        await page.mouse.move(2, 2);
        await page.getByTestId(testId).hover();
        return page.getByTestId('alarm-list').getAttribute('data-held');
      },
      { timeout: 20_000 },
    )
    .toBe('true');
}

/** Every target of an order is large enough for a glove. */
async function smallTargets(page: Page): Promise<string[]> {
  const targets = page.locator('main button:visible, main a:visible, .strip button:visible, .strip a:visible, dialog button:visible');
  const boxes = await Promise.all((await targets.all()).map(async (target) => ({ text: await target.innerText(), box: await target.boundingBox() })));
  return boxes.filter(({ box }) => (box?.width ?? 0) < 72 || (box?.height ?? 0) < 72).map(({ text, box }) => `${text} ${box?.width}x${box?.height}`);
}

/** Puts an element where a picture shows it. */
const bring = (page: Page, testId: string, block: 'start' | 'center'): Promise<unknown> => page.evaluate(`document.querySelector('[data-testid="${testId}"]').scrollIntoView({ block: '${block}' })`);

describe.each(['desk', 'phone'] satisfies SizeName[])('Alarms at %s size', (size) => {
  it('is one tap from Watch and one back, and nothing above it moves', async () => {
    const { page } = await under.open(size);
    under.server.play('list');
    const strip = page.getByTestId('alarm-strip');
    await strip.getByTestId('alarm-c1').waitFor();
    const before = [await strip.boundingBox(), await page.getByTestId('sound').boundingBox(), await page.getByTestId('door').boundingBox()];
    expect(await page.getByTestId('aside-count').innerText()).toBe('3 set aside');
    await page.getByTestId('door').click();
    await page.getByTestId('alarms-screen').waitFor();
    expect([await strip.boundingBox(), await page.getByTestId('sound').boundingBox(), await page.getByTestId('door').boundingBox()]).toEqual(before);
    await page.getByTestId('door').click();
    await page.getByTestId('rig-a-co').waitFor();
    await page.close();
  });

  it('lists what stands, what nobody has first', async () => {
    const { page, shoot, complaints } = await openAlarms(size, 'list');
    expect(await entryKeys(page)).toEqual(['c1', 'n1', 'n2', 'c2', 'h1']);
    await shoot('alarms');
    expect(await sideways(page)).toBe(0);
    expect(await smallTargets(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('shows a trip on four rigs as one, with CO on top', async () => {
    const { page, shoot } = await openAlarms(size, 'trip');
    expect(await entryKeys(page)).toEqual(['co-b', 'trip']);
    await shoot('alarms-trip');
    await page.getByTestId('unfold').click();
    await page.getByTestId('follower-sup-rig-a').waitFor();
    expect(await page.getByTestId('follower-sup-rig-a').innerText()).toContain('+820 ms');
    await bring(page, 'entry-trip', 'start');
    await shoot('alarms-trip-open');
    expect(await sideways(page)).toBe(0);
    await page.close();
  });

  it('groups a flood and says that it is one', async () => {
    const { page, shoot } = await openAlarms(size, 'flood');
    expect(await page.getByTestId('flood-banner').innerText()).toContain('23 alarms in 10 min');
    expect((await entryKeys(page)).length).toBe(7);
    await shoot('alarms-flood');
    expect(await sideways(page)).toBe(0);
    await page.close();
  });

  it('opens a card in place, with the trace', async () => {
    const { page, shoot, complaints } = await openAlarms(size, 'list');
    await page.getByTestId('entry-c1').getByTestId('toggle-card').click();
    const card = page.getByTestId('card-c1');
    await card.locator('canvas').waitFor();
    expect(await card.innerText()).toContain('Signal the blaster.');
    expect(await card.getByTestId('shelve').count()).toBe(0);
    await page.mouse.move(5, 5);
    if (size === 'phone') await bring(page, 'card-c1', 'center');
    await page.waitForTimeout(500);
    await shoot('alarms-card');
    expect(await sideways(page)).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('shelves in two steps, with a reason and words', async () => {
    const { page, shoot } = await openAlarms(size, 'list');
    await page.getByTestId('entry-n1').getByTestId('toggle-card').click();
    await page.getByTestId('card-n1').getByTestId('shelve').click();
    await page.getByTestId('aside-next').click();
    await page.getByText('Choose a reason and say').waitFor();
    await page.getByRole('radio', { name: 'Cause is known' }).check();
    await page.getByLabel('In your own words').fill('Rich mix, choke being cleaned');
    await page.getByRole('radio', { name: '30 min' }).check();
    await shoot('alarms-shelve');
    expect(await smallTargets(page)).toEqual([]);
    await page.getByTestId('aside-next').click();
    await page.getByTestId('aside-confirm').waitFor();
    await shoot('alarms-shelve-confirm');
    await page.getByTestId('aside-do').click();
    await page.getByTestId('aside-dialog').waitFor({ state: 'detached' });
    expect(under.server.orders.at(-1)).toMatchObject({ id: 'n1', order: 'shelve', body: { reason: 'known-cause', text: 'Rich mix, choke being cleaned', minutes: 30 } });
    expect(under.server.orders.at(-1)?.key).toMatch(/^[0-9a-f]{32}$/);
    await page.getByTestId('tab-alarms/aside').click();
    await page.getByTestId('aside-shelved').getByTestId('alarm-n1').waitFor();
    await shoot('alarms-aside');
    expect(await sideways(page)).toBe(0);
    await page.getByTestId('aside-shelved').getByTestId('alarm-n1').getByTestId('unshelve').click();
    await page.getByTestId('aside-shelved').getByTestId('alarm-n1').waitFor({ state: 'detached' });
    await page.close();
  });

  it('keeps a journal that can be narrowed and paged', async () => {
    const { page, shoot } = await openAlarms(size, 'list', '#/alarms/journal');
    await page.getByTestId('journal-entry').first().waitFor();
    expect(await page.getByTestId('journal-entry').count()).toBe(100);
    await shoot('alarms-journal');
    await page.getByTestId('older').click();
    await page.getByText('This is the beginning of the journal.').waitFor();
    await page.getByLabel('What').selectOption('action');
    expect(await page.getByTestId('journal-entry').count()).toBe(44);
    await page.getByLabel('What').selectOption('');
    await page.getByLabel('Words').fill('raised carbon');
    expect(await page.getByTestId('journal-entry').count()).toBe(4);
    expect(await sideways(page)).toBe(0);
    await page.close();
  });

  it('shows how the alarms themselves do', async () => {
    const { page, shoot } = await openAlarms(size, 'list', '#/alarms/metrics');
    await page.getByTestId('rate-plot').locator('svg').waitFor();
    expect(await page.getByTestId('figures').innerText()).toContain('0.9 %');
    await shoot('alarms-metrics');
    await page.getByRole('radio', { name: '30 days' }).check();
    await page.getByTestId('rate-plot').locator('svg').waitFor();
    await page.waitForTimeout(300);
    await shoot('alarms-metrics-month');
    expect(await sideways(page)).toBe(0);
    await page.close();
  });

  it('sounds only after a tap, quiets with one, and says so', async () => {
    const { page, shoot } = await openAlarms(size, 'normal');
    const key = page.getByTestId('sound');
    expect(await key.getAttribute('data-sound')).toBe('off');
    await key.click();
    await page.getByTestId('sound-arm').click();
    await page.locator('[data-sound="armed"]').waitFor();
    await page.waitForTimeout(300);
    await shoot('sound-armed');
    await page.keyboard.press('Escape');
    under.server.play('list');
    await page.locator('[data-sound="sounding"]').waitFor();
    await shoot('sound-sounding');
    await key.click();
    await page.locator('[data-sound="silent"]').waitFor();
    expect(await page.getByTestId('alarms-screen').getByTestId('alarm-c1').getAttribute('data-state')).toBe('unacknowledged');
    under.server.raise(fabricatedAlarm({ ...CO, id: 'c9', rig: 'rig-b', owner: 'rig-b', raisedAtMs: Date.now() }));
    await page.locator('[data-sound="sounding"]').waitFor();
    await page.close();
  });
});

describe('Alarms', () => {
  it('takes I have it, then blaster out, also in the strip of Watch', async () => {
    const { page, shoot } = await under.open('desk');
    under.server.play('list');
    const alarm = page.getByTestId('alarm-strip').getByTestId('alarm-c1');
    await alarm.getByTestId('acknowledge').click();
    await alarm.getByTestId('confirm-out').waitFor();
    await shoot('out-awaited');
    const box = await alarm.getByTestId('confirm-out').boundingBox();
    expect(box?.height).toBeGreaterThanOrEqual(72);
    await alarm.getByTestId('confirm-out').click();
    await expect.poll(() => under.server.orders.slice(-2).map((o) => [o.order, o.body])).toEqual([['acknowledge', { atRig: false }], ['confirm-out', {}]]);
    await page.close();
  });

  it.each(['desk', 'phone'] satisfies SizeName[])('says on Watch at %s size that there is a flood', async (size) => {
    const { page, shoot } = await under.open(size);
    under.server.play('flood');
    await page.getByTestId('door').filter({ hasText: 'Flood: 23' }).waitFor();
    await page.waitForTimeout(600);
    await shoot('watch-flood');
    expect(await sideways(page)).toBe(0);
    await page.close();
  });

  it('moves nothing under a hand that reads, and offers the new order', async () => {
    const { page, shoot } = await openAlarms('desk', 'list');
    await readAt(page, 'entry-n1');
    under.server.raise(fabricatedAlarm({ ...NOZZLE, id: 'n9', priority: 'high', rig: 'rig-b', owner: 'rig-b', raisedAtMs: Date.now() }));
    await page.getByTestId('new-order').waitFor();
    expect(await entryKeys(page)).toEqual(['c1', 'n1', 'n2', 'c2', 'h1', 'n9']);
    await shoot('alarms-held');
    await page.getByTestId('new-order').click();
    expect(await entryKeys(page)).toEqual(['c1', 'n9', 'n1', 'n2', 'c2', 'h1']);
    await page.close();
  });

  it('goes by keyboard alone', async () => {
    const { page } = await openAlarms('desk', 'list');
    await page.getByTestId('entry-c1').getByTestId('acknowledge').focus();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.getByTestId('card-c1').waitFor();
    await page.close();
  });

  it('takes a whole group with one word, but never CO', async () => {
    const { page } = await openAlarms('desk', 'trip');
    const before = under.server.orders.length;
    await page.getByTestId('have-group').click();
    await page.getByText('all in hand').waitFor();
    const taken = under.server.orders.slice(before).map((o) => o.id);
    expect(taken.length).toBe(8);
    expect(taken).not.toContain('co-b');
    await page.close();
  });

  it('is ink and no button to those who look on', async () => {
    const looking = await startMockServer({ page: under.folder, role: 'viewer' });
    const { page } = await openPage(under.browser, looking.url, 'desk');
    looking.play('list');
    await page.getByTestId('door').click();
    await page.getByTestId('entry-c1').getByTestId('toggle-card').click();
    await page.getByTestId('card-c1').waitFor();
    for (const id of ['acknowledge', 'confirm-out', 'reset', 'shelve', 'take-out', 'have-group']) expect([id, await page.getByTestId(id).count()]).toEqual([id, 0]);
    await page.close();
    await looking.close();
  });

  it('gives the safety officer what is theirs', async () => {
    const officer = await startMockServer({ page: under.folder, role: 'safety-officer' });
    const { page, shoot } = await openPage(under.browser, officer.url, 'desk');
    officer.play('list');
    await page.getByTestId('door').click();
    await page.getByTestId('entry-c1').getByTestId('toggle-card').click();
    await page.getByTestId('card-c1').getByTestId('take-out').click();
    await page.getByTestId('aside-dialog').waitFor();
    await shoot('alarms-take-out');
    await page.getByRole('radio', { name: 'Sensor faulty' }).check();
    await page.getByLabel('In your own words').fill('cell replaced by a spare');
    await page.getByLabel('Approved by').fill('casey');
    await page.getByTestId('aside-next').click();
    await page.getByText('somebody else’s approval').waitFor();
    await page.getByLabel('Approved by').fill('mona');
    await page.getByTestId('aside-next').click();
    await page.getByTestId('aside-do').click();
    await expect.poll(() => officer.orders.at(-1)).toMatchObject({ id: 'c1', order: 'out-of-service', body: { text: 'Sensor faulty: cell replaced by a spare', approvedBy: 'mona' } });
    expect(Object.keys(officer.orders.at(-1)?.body ?? {}).sort()).toEqual(['approvedBy', 'text', 'until']);
    await page.close();
    await officer.close();
  });

  it.each(['Night', 'Sun'])('reads in %s too', async (theme) => {
    const { page, shoot } = await openAlarms('desk', 'trip');
    await page.getByTestId('menu').locator('summary').click();
    await page.getByRole('radio', { name: theme }).check();
    await page.keyboard.press('Escape');
    await page.waitForTimeout(300);
    await shoot(`alarms-${theme.toLowerCase()}`);
    await page.close();
  });
});
