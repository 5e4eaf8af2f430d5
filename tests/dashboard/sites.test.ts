import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { heardAtMs, orderSites } from '../../dashboard/sites/judge-need.ts';
import type { LiveAlarm, LivePoint, LiveSite } from '../../domain/wire/live.ts';
import { axeComplaints } from './support/axe-complaints.ts';
import { fabricatedAlarm, fabricatedSite, point } from './support/fabricated-site.ts';
import { type MockServer, startMockServer } from './support/mock-server.ts';
import { buildPage } from './support/built-page.ts';
import { launch, openPage } from './support/open-page.ts';

const NOW = Date.UTC(2026, 5, 1, 12);

/** A site with one rig of its own name. */
function siteOf(id: string, changes: Partial<LiveSite> = {}): LiveSite {
  const [rig] = fabricatedSite(NOW, {}, 1).rigs;
  if (!rig) throw new Error('no rig');
  return { ...fabricatedSite(NOW), id, name: `Yard ${id}`, demo: false, compressors: [], rigs: [{ ...rig, id: `${id}-rig`, name: `Rig of ${id}`, site: id, compressor: null, underHood: [] }], gatewayAtMs: NOW, ...changes };
}

const alarmOf = (site: string, changes: Partial<LiveAlarm> = {}): LiveAlarm =>
  fabricatedAlarm({ id: `${site}-1-1`, name: 'co-high', title: 'CO high', point: 'breathing-air-co', priority: 'critical', raisedAtMs: NOW - 60_000, alwaysShown: true, site, rig: `${site}-rig`, owner: `${site}-rig`, ...changes });
const inHand = { state: 'acknowledged', acknowledgedAtMs: NOW - 30_000, acknowledgedBy: 'lee' } as const;

describe('which site needs somebody first', () => {
  const order = (sites: readonly LiveSite[], alarms: readonly LiveAlarm[] = [], points: readonly LivePoint[] = [], nowMs = NOW) => orderSites(sites, alarms, heardAtMs(sites, points), nowMs);

  it('a critical alarm nobody has, then what is not known of, then other alarms nobody has, then what somebody has, then the quiet ones', () => {
    const sites = [siteOf('quiet'), siteOf('never', { gatewayAtMs: null }), siteOf('held'), siteOf('medium'), siteOf('high'), siteOf('lost', { gatewayAtMs: NOW - 31_000 }), siteOf('unwritten', { recording: false }), siteOf('critical'), siteOf('taken')];
    const alarms = [alarmOf('held', { ...inHand, priority: 'medium', id: 'h' }), alarmOf('medium', { priority: 'medium' }), alarmOf('high', { priority: 'high' }), alarmOf('critical'), alarmOf('taken', inHand)];
    const found = order(sites, alarms);
    expect(found.map(({ site }) => site.id)).toEqual(['critical', 'lost', 'unwritten', 'high', 'taken', 'medium', 'held', 'quiet', 'never']);
    expect(found.map(({ life }) => life)).toEqual(['live', 'not-live', 'not-recording', 'live', 'live', 'live', 'live', 'live', 'never-heard']);
  });

  it('an alarm of a site that is not live stands before one without, and people under the hood before an empty yard', () => {
    const gone = { gatewayAtMs: NOW - 60_000 };
    const worn = siteOf('b', gone);
    const manned = { ...worn, rigs: worn.rigs.map((rig) => ({ ...rig, underHood: [{ name: 'Ray', sinceMs: NOW }] })) };
    expect(order([siteOf('a', gone), manned, siteOf('c', gone)], [alarmOf('c', { priority: 'low' })]).map(({ site }) => site.id)).toEqual(['c', 'b', 'a']);
  });

  it('a reading is a sign of life, a computed value is none', () => {
    const site = siteOf('a', { gatewayAtMs: NOW - 60_000 });
    const judged = (one: LivePoint) => order([site], [], [one])[0]?.life;
    expect(judged(point('a-rig', 'breathing-air-co', 2, NOW - 1_000))).toBe('live');
    expect(judged(point('a-rig', 'steel-margin', 4, NOW - 1_000))).toBe('not-live');
  });

  it('the same sites in any order are read in the same order', () => {
    const sites = Array.from({ length: 20 }, (_, i) => siteOf(`s${String(i).padStart(2, '0')}`));
    expect(order(sites.toReversed()).map(({ site }) => site.id)).toEqual(order(sites).map(({ site }) => site.id));
  });
});

describe('the screen of all sites', () => {
  let browser: Browser;
  let server: MockServer;
  let folder: string;
  beforeAll(async () => {
    folder = await buildPage();
    [browser, server] = await Promise.all([launch(), startMockServer({ page: folder })]);
    const now = Date.now();
    const ids = Array.from({ length: 199 }, (_, i) => `y${String(i + 1).padStart(3, '0')}`);
    const changes: Readonly<Record<string, Partial<LiveSite>>> = { y017: { gatewayAtMs: now - 400_000 }, y101: { recording: false }, y150: { gatewayAtMs: null } };
    const sites = ids.map((id) => siteOf(id, { gatewayAtMs: null, ...changes[id] }));
    const live = sites.filter(({ id }) => id !== 'y017' && id !== 'y150');
    server.join({
      sites: () => sites,
      points: () => live.map(({ rigs }) => point(rigs[0]?.id ?? '', 'breathing-air-co', 2, Date.now())),
      alarms: [
        alarmOf('y042', { raisedAtMs: now - 95_000 }),
        alarmOf('y007', { raisedAtMs: now - 600_000, priority: 'high', name: 'nozzle-pressure-low', title: 'Nozzle pressure low', point: 'nozzle-pressure', alwaysShown: false }),
        alarmOf('y120', { raisedAtMs: now - 900_000, ...inHand, acknowledgedAtMs: now - 840_000 }),
      ],
    });
  });
  afterAll(async () => {
    await browser.close();
    await server.close();
  });

  it.each(['desk', 'phone'] as const)('shows 200 sites, who has what, and leads to one; %s', async (size) => {
    const { page, complaints, shoot } = await openPage(browser, server.url, size);
    await page.getByTestId('menu').locator('summary').click();
    await page.getByTestId('go-sites').click();
    await page.getByTestId('site-y042').waitFor();
    const rows = await page.evaluate(`[...document.querySelectorAll('.site-row')].map((row) => row.dataset.testid)`);
    expect(rows).toEqual(['site-y042', 'site-y017', 'site-y101', 'site-y007', 'site-y120']);
    expect(await page.locator('.sites__quiet li').count()).toBe(195);
    expect(await page.getByTestId('sites-sum').innerText()).toBe('2 with an alarm nobody has, 2 not live, of 200');
    expect(await page.getByTestId('site-y042').innerText()).toMatch(/CO high[\s\S]*Rig of y042[\s\S]*nobody has it/);
    expect(await page.getByTestId('site-y120').innerText()).toContain('lee has it, 14 min');
    expect(await page.getByTestId('site-y017').innerText()).toContain('Not live, nothing for 6 min');
    expect(await page.getByRole('main').innerText()).toContain('stay in charge of its alarms');
    expect(await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')).toBe(0);
    expect(await axeComplaints(page)).toEqual([]);
    // Beside other sites' alarms, the strip must not seem to speak for all.
    expect(await page.getByTestId('alarm-strip').innerText()).toContain('Quay 4 gates: No alarm stands.');
    await shoot('sites');
    await page.getByTestId('site-y042').getByRole('link').click();
    await expect.poll(() => page.locator('.bar__site select').inputValue()).toBe('y042');
    expect(page.url()).toContain('#/alarms');
    await page.goBack();
    await page.getByTestId('site-y042').waitFor();
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('says that the list is old when the server is silent', async () => {
    const { page } = await openPage(browser, server.url, 'desk');
    await page.goto(`${server.url}/#/sites`);
    await page.getByTestId('site-y042').waitFor();
    server.freeze(true);
    await expect.poll(() => page.getByTestId('sites-sum').innerText()).toContain('This list is old');
    server.freeze(false);
    await page.close();
  });
});
