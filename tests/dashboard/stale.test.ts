import type { Page } from 'playwright-core';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openBareTab } from './support/bare-tab.ts';
import { strungTo } from './support/cuttable-wire.ts';
import { type Frame, FRAMES_SEEN, NOTE_FRAMES, SAYS_LIVE, processesOf } from './support/frames.ts';
import { openPage } from './support/open-page.ts';
import { pageUnderTest } from './support/page-under-test.ts';
import { differentShare } from './support/see.ts';

/**
 * Never an old number that looks live, frame by frame: the link cut or dead, the tab frozen, the machine asleep, the page's own script
 * hung. A server that is stopped is in tests/e2e/demo.test.ts, and silent in screens.test.ts.
 */
const at = pageUnderTest();

/** Longer than anything may look live without a word of the server, ms. */
const AWAY_MS = 7_000;
const pass = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

async function live(page: Page): Promise<void> {
  await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
}

/** Script: true once a frame since then looked live. */
const looksLiveSince = (atMs: number): string => `${FRAMES_SEEN}.some((frame) => frame.atMs >= ${atMs} && frame.looksLive)`;

/** Frames after the longest time without any. */
function afterTheGap(frames: readonly Frame[]): readonly Frame[] {
  const gaps = frames.map((frame, index) => frame.atMs - (frames[index - 1]?.atMs ?? frame.atMs));
  const longest = Math.max(...gaps);
  expect(longest).toBeGreaterThan(AWAY_MS - 2_000);
  return frames.slice(gaps.indexOf(longest));
}

/** From `sinceMs` on nothing looks live before the server has given a snapshot that was asked for after it. */
function expectNothingStale(frames: readonly Frame[], sinceMs: number): void {
  const given = at.server.snapshots.find((givenMs) => givenMs >= sinceMs) ?? Infinity;
  expect(frames.length).toBeGreaterThan(0);
  expect(frames.filter((frame) => frame.atMs >= sinceMs && frame.atMs < given && frame.looksLive)).toEqual([]);
}

describe('never an old number that looks live', () => {
  it.each(['cut', 'stall'] as const)('after the link is lost (%s), and until a snapshot comes once it is mended', async (how) => {
    const wire = await strungTo(at.server.url);
    onTestFinished(() => wire.close());
    const { page } = await openPage(at.browser, wire.url, 'phone');
    await live(page);
    await page.evaluate(NOTE_FRAMES);
    const lostMs = Date.now();
    wire[how]();
    await page.getByTestId('not-live-band').and(page.locator('[data-state="not-live"]')).waitFor();
    await pass(1_000);
    const mendedMs = Date.now();
    wire.mend();
    await expect.poll(() => page.evaluate(looksLiveSince(mendedMs))).toBe(true);
    const frames = await page.evaluate<Frame[]>(FRAMES_SEEN);
    // Half a second of ticks, and what a busy machine may be late.
    expect(frames.filter((frame) => frame.atMs > lostMs + 5_000 + 1_500 && frame.atMs < mendedMs && frame.looksLive)).toEqual([]);
    expectNothingStale(frames, mendedMs);
    await page.close();
  });

  it.each(['hidden', 'frozen'] as const)('when the tab was %s and is looked at again', async (how) => {
    // The made-up server signs in whoever comes after the first.
    await fetch(`${at.server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'casey', password: 'x' }) });
    const tab = await openBareTab(at.server.url);
    onTestFinished(() => tab.close());
    await tab.until(SAYS_LIVE);
    await tab.evaluate(NOTE_FRAMES);
    await tab.until(`${FRAMES_SEEN}.length > 2`);
    await tab.show(false);
    await tab.until(`document.visibilityState === 'hidden'`);
    if (how === 'frozen') await tab.freeze(true);
    await pass(AWAY_MS);
    if (how === 'frozen') await tab.freeze(false);
    const backMs = Date.now();
    await tab.show(true);
    await tab.until(looksLiveSince(backMs));
    const frames = afterTheGap(await tab.evaluate(FRAMES_SEEN));
    expect(frames[0]?.looksLive).toBe(false);
    expectNothingStale(frames, backMs);
  });

  it('when the machine slept, with what was sent meanwhile waiting in its sockets', async () => {
    const { page } = await at.open('desk');
    await live(page);
    await page.evaluate(NOTE_FRAMES);
    await expect.poll(() => page.evaluate(`${FRAMES_SEEN}.length > 2`)).toBe(true);
    const processes = await processesOf(at.browser);
    for (const id of processes) process.kill(id, 'SIGSTOP');
    let backMs = Infinity;
    try {
      await pass(AWAY_MS);
    } finally {
      backMs = Date.now();
      for (const id of processes.toReversed()) process.kill(id, 'SIGCONT');
    }
    await expect.poll(() => page.evaluate(looksLiveSince(backMs))).toBe(true);
    const frames = afterTheGap(await page.evaluate<Frame[]>(FRAMES_SEEN));
    expect(frames[0]?.looksLive).toBe(false);
    expectNothingStale(frames, backMs);
    await page.close();
  });

  it('while the page’s own script hangs: a veil comes up that needs none', async () => {
    const { page } = await at.open('desk');
    await live(page);
    const session = await page.context().newCDPSession(page);
    const painted: string[] = [];
    session.on('Page.screencastFrame', ({ data, sessionId }) => {
      painted.push(data);
      void session.send('Page.screencastFrameAck', { sessionId }).catch(() => undefined);
    });
    await session.send('Page.startScreencast', { format: 'png', everyNthFrame: 1 });
    const hung = page.evaluate(`(() => { const until = performance.now() + 5_000; while (performance.now() < until); })()`);
    await pass(4_500);
    const whileHung = painted.at(-1);
    await hung;
    await session.send('Page.stopScreencast');
    await live(page);
    const plain = await page.screenshot();
    await page.evaluate(`(() => { const veil = document.querySelector('[data-testid="stand-still"]'); const copy = veil.cloneNode(true); copy.style.opacity = 1; veil.after(copy); })()`);
    const veiled = await page.screenshot();
    // What the compositor showed while nothing of ours could run.
    expect(await differentShare(page, whileHung ?? '', veiled.toString('base64'))).toBeLessThan(0.01);
    expect(await differentShare(page, whileHung ?? '', plain.toString('base64'))).toBeGreaterThan(0.05);
    await page.close();
  });
});
