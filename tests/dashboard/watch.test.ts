import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CO } from './support/alarm-scenarios.ts';
import { fabricatedAlarm } from './support/fabricated-site.ts';
import { type MockServer, startMockServer } from './support/mock-server.ts';
import { buildPage } from './support/built-page.ts';
import { launch, openPage } from './support/open-page.ts';

/** Watch with many rigs, with none, and how fast it is. */
let browser: Browser;
let server: MockServer;
let folder: string;
/** What was measured, for docs/benchmarks.md. */
const measured: Record<string, number> = {};

beforeAll(async () => {
  folder = await buildPage();
  [browser, server] = await Promise.all([launch(), startMockServer({ page: folder })]);
});
afterAll(async () => {
  await browser.close();
  await server.close();
  mkdirSync('tests/output/dashboard', { recursive: true });
  writeFileSync('tests/output/dashboard/measured.json', `${JSON.stringify(measured, null, 2)}\n`);
});

const wall = { width: 1920, height: 1080 };

async function boxes(page: Page): Promise<unknown> {
  return page.evaluate(`[...document.querySelectorAll('.rig-row, .rig-row__value')].map((e) => { const { left, top, width, height } = e.getBoundingClientRect(); return [left, top, width, height].map(Math.round); })`);
}

describe('many rigs', () => {
  it('twelve stand in rows without scrolling, in an order that an alarm does not change, and nothing moves', async () => {
    server.play('many');
    const { page, complaints, shoot } = await openPage(browser, server.url, 'desk');
    await page.setViewportSize(wall);
    await page.getByTestId('row-rig-l').waitFor();
    const bottom = await page.evaluate<number>(`Math.max(...[...document.querySelectorAll('.rig-row')].map((row) => row.getBoundingClientRect().bottom))`);
    expect(bottom).toBeLessThanOrEqual(wall.height - 28);
    expect(await page.locator('.rig-row').count()).toBe(12);
    expect(await page.getByTestId('row-rig-h-breathing-air-co').innerText()).toMatch(/\d+\s*ppm\s*\d+ below 10/);
    await shoot('many');
    const before = await boxes(page);
    server.raise(fabricatedAlarm({ ...CO, id: 'c9', rig: 'rig-h', owner: 'rig-h', raisedAtMs: Date.now() }));
    await page.getByTestId('alarm-strip').getByTestId('alarm-c9').waitFor();
    expect(await page.getByTestId('row-rig-h').getAttribute('data-priority')).toBe('critical');
    expect(await boxes(page)).toEqual(before);
    await shoot('many-alarm');
    await page.getByTestId('row-rig-h').getByRole('button').click();
    await page.getByTestId('air-rig-h').waitFor();
    expect(await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  }, 180_000);

  it('never shows an old number as live: frozen, every row is struck', async () => {
    const own = await startMockServer({ page: folder });
    own.play('many');
    const { page } = await openPage(browser, own.url, 'desk');
    own.freeze(true);
    await page.getByTestId('not-live-band').waitFor();
    expect(await page.evaluate(`[...document.querySelectorAll('.rig-row__figure strong')].filter((e) => !getComputedStyle(e).textDecorationLine.includes('line-through')).length`)).toBe(0);
    await page.close();
    await own.close();
  }, 180_000);

  // The aim is a tenth, on a machine of its own: MEASURE=1. Beside other work a shared core gives the same page less for more.
  it('at four pushes a second twelve rigs take a small part of the main thread', async () => {
    server.play('many');
    const { page } = await openPage(browser, server.url, 'desk');
    await page.setViewportSize(wall);
    await page.getByTestId('row-rig-l').waitFor();
    const cdp = await page.context().newCDPSession(page);
    // Time on the thread itself, so that a busy machine measures the page and not its neighbours.
    await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
    const spent = async (): Promise<{ readonly task: number; readonly at: number }> => {
      const { metrics } = await cdp.send('Performance.getMetrics');
      return { task: metrics.find((m) => m.name === 'TaskDuration')?.value ?? Number.NaN, at: performance.now() };
    };
    await page.waitForTimeout(3_000);
    const from = await spent();
    await page.waitForTimeout(10_000);
    const to = await spent();
    const share = (to.task - from.task) / ((to.at - from.at) / 1000);
    measured['watch, 12 rigs at 4 Hz: share of the main thread'] = share;
    expect(share).toBeGreaterThan(0);
    expect(share).toBeLessThan(process.env['MEASURE'] ? 0.1 : 0.5);
    await page.close();
  }, 180_000);
});

it('a site with no rig says so', async () => {
  server.play('none');
  const page = await browser.newPage();
  await page.goto(server.url);
  await page.getByText('This site has no rig yet.').waitFor();
  await page.close();
});

it('each value drawn large has its unit, its margin and a short trace, the air first, with who is under the hood', async () => {
  server.play('one');
  const { page, complaints, shoot } = await openPage(browser, server.url, 'desk');
  for (const id of ['rig-a-breathing-air-co', 'rig-a-breathing-air-pressure', 'comp-1-compressor-pressure', 'rig-a-supply-pressure', 'rig-a-nozzle-pressure', 'rig-a-steel-margin', 'quay-4-ambient-humidity']) {
    await page.getByTestId(`short-${id}`).locator('.short-trace__line').first().waitFor({ state: 'attached' });
  }
  expect(await page.getByTestId('rig-a-co').innerText()).toMatch(/ppm\n\d+ below limit 10/);
  expect(await page.getByTestId('rig-a-breathing-pressure').innerText()).toMatch(/psi\n\d+ above limit 40/);
  expect(await page.getByTestId('rig-a-under-hood').innerText()).toMatch(/^J\. Ortega since \d\d:\d\d$/);
  expect(await page.evaluate(`document.querySelector('[data-testid="air-rig-a"]').getBoundingClientRect().bottom <= document.querySelector('[data-testid="profile-rig-a"]').getBoundingClientRect().top`)).toBe(true);
  await shoot('one');
  expect(complaints).toEqual([]);
  await page.close();
});

it('says when the deadman was last tried, and whether the intake is downwind', async () => {
  server.play('normal');
  const { page } = await openPage(browser, server.url, 'desk');
  expect(await page.getByTestId('rig-a-tried').innerText()).toMatch(/^Deadman last tried \d\d:\d\d: nozzle stopped in 1\.8 s$/);
  expect(await page.getByTestId('intake').innerText()).toContain('not downwind');
  await page.close();
});

it('what the first view takes is below 300 kB, packed', async () => {
  const index = readFileSync(join(folder, 'index.html'), 'utf8');
  const first = [...index.matchAll(/(?:src|href)="\.?\/?(assets\/[^"]+\.(?:js|css))"/g)].map((m) => m[1] as string);
  expect(first.length).toBeGreaterThan(1);
  const bytes = first.reduce((sum, file) => sum + gzipSync(readFileSync(join(folder, file))).length, 0);
  const all = readdirSync(join(folder, 'assets')).filter((file) => /\.(js|css)$/.test(file)).reduce((sum, file) => sum + gzipSync(readFileSync(join(folder, 'assets', file))).length, 0);
  measured['first view: scripts and styles, kB gzipped'] = bytes / 1000;
  measured['all screens: scripts and styles, kB gzipped'] = all / 1000;
  expect(bytes).toBeLessThan(300_000);
});

// Times are judged on a machine of their own, MEASURE=1; elsewhere only that it comes at all.
it('the first view stands soon after asking, with a cold cache', async () => {
  server.play('normal');
  const { page: signedIn } = await openPage(browser, server.url, 'desk');
  await signedIn.close();
  // The made-up server keeps the sign-in; the context has neither cache nor worker.
  const times: number[] = [];
  for (let run = 0; run < 3; run += 1) {
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, serviceWorkers: 'block' });
    const page = await context.newPage();
    // By the page's own clock, from the address to the frame with the first figure: starting a browser's tab is no part of ours.
    await page.addInitScript(`window.firstFigureMs = new Promise((resolve) => {
      const look = () => /\\d/.test(document.querySelector('[data-testid="rig-a-co-value"]')?.textContent ?? '') ? requestAnimationFrame(() => setTimeout(() => resolve(performance.now()))) : requestAnimationFrame(look);
      look();
    })`);
    await page.goto(server.url, { waitUntil: 'commit' });
    times.push(await page.evaluate<number>('window.firstFigureMs'));
    await context.close();
  }
  measured['first view with a cold cache, best of three, ms'] = Math.min(...times);
  expect(Math.min(...times)).toBeLessThan(process.env['MEASURE'] ? 1_000 : 20_000);
}, 180_000);

it('ten hours of history are drawn at once when they have come', async () => {
  server.play('normal');
  const { page } = await openPage(browser, server.url, 'desk');
  await page.addInitScript(`(() => {
    window.__drawn = [];
    const real = window.fetch;
    window.fetch = async (...given) => {
      const answer = await real(...given);
      if (!String(given[0]).includes('/trace')) return answer;
      const text = answer.text.bind(answer);
      answer.text = async () => { const body = await text(); const came = performance.now(); requestAnimationFrame(() => setTimeout(() => window.__drawn.push(performance.now() - came))); return body; };
      return answer;
    };
  })()`);
  await page.reload();
  // What draws is fetched by now: measured is the drawing, not its way here.
  await page.locator('[data-testid="shift-rig-a"] canvas').first().waitFor();
  await page.evaluate(`window.__drawn.length = 0; location.hash = '#/shifts/shift-rig-a/trace'`);
  await page.locator('[data-testid="trace-plots"] canvas').first().waitFor();
  await page.waitForTimeout(1_000);
  const drawn = await page.evaluate<number[]>('window.__drawn');
  expect(drawn.length).toBeGreaterThan(0);
  measured['history of a shift: from arrival to drawn, ms'] = Math.max(...drawn);
  expect(Math.max(...drawn)).toBeLessThan(process.env['MEASURE'] ? 150 : 10_000);
  await page.close();
}, 180_000);
