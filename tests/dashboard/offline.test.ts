import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { initialFeed } from '../../dashboard/link/live-link.ts';
import { LINK_DEAD_MS, judgeLink } from '../../dashboard/link/link-state.ts';
import { readKeptState, restore, toKeep, writeKeptState } from '../../dashboard/store/kept-state.ts';
import { fromSnapshot } from '../../dashboard/store/live-state.ts';
import { LIVE_PROTOCOL } from '../../domain/wire/live.ts';
import { fabricatedPoints, fabricatedSite } from './support/fabricated-site.ts';
import { startMockServer } from './support/mock-server.ts';
import { buildPage } from './support/built-page.ts';
import { launch, openPage } from './support/open-page.ts';

const SESSION = { name: 'casey', role: 'supervisor' } as const;

describe('the last state', () => {
  const live = fromSnapshot({ boot: 'b', revision: 7, serverNowMs: 50_000, protocol: LIVE_PROTOCOL, sites: [fabricatedSite(0)], points: fabricatedPoints(50_000, { 'rig-a': { isBlasting: true, coPpm: 3, extraLossPsi: 0 } }), alarms: [], floods: {} });
  const feed = { ...initialFeed(0), following: { state: 'following', boot: 'b', revision: 7 } as const, clock: { offsetMs: 49_000, estimates: [49_000] }, frameAtMs: 1_000 };
  const store = (): { getItem: (key: string) => string | null; setItem: (key: string, text: string) => void } => {
    const kept = new Map<string, string>();
    return { getItem: (key) => kept.get(key) ?? null, setItem: (key, text) => void kept.set(key, text) };
  };

  it.each([[60_000, 60_000], [0, LINK_DEAD_MS + 1], [-3_600_000, LINK_DEAD_MS + 1]])('opened %d ms later by the device’s clock is %d ms old, and never live', (passedMs, ageMs) => {
    const keep = store();
    const kept = toKeep(SESSION, live, feed, 1_000, 1_000_000);
    writeKeptState(keep, kept!);
    const again = restore(readKeptState(keep)!, initialFeed(9_000), 9_000, 1_000_000 + passedMs);
    expect(again.live.points).toEqual(live.points);
    const judged = judgeLink({ following: again.feed.following, sinceOpenMs: 0, frameAgeMs: 9_000 - again.feed.frameAtMs!, gatewayAgeMs: null, silentSensors: 0, oldestMs: null });
    expect(judged).toEqual({ state: 'not-live', because: 'server-silent', ageMs });
    // The clock stands at the last frame: 50 s of the server's time.
    expect(again.feed.frameAtMs! + again.feed.clock!.offsetMs).toBe(50_000);
  });

  it('is kept as old as it is, not before anything came, and not read where it is of another protocol or broken', () => {
    expect(toKeep(SESSION, live, { ...feed, following: { state: 'catching-up', because: 'unseen', boot: 'b', revision: 7 } }, 41_000, 1_000_000)?.keptAtMs).toBe(960_000);
    expect(toKeep(SESSION, live, initialFeed(0), 0, 0)).toBeNull();
    for (const text of ['{', 'null', '{"protocol":-1}', `{"protocol":${LIVE_PROTOCOL},"session":{"name":"x"},"sites":7}`]) expect(readKeptState({ getItem: () => text, setItem: () => undefined })).toBeNull();
  });
});

describe('the page without its server', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    [folder, browser] = await Promise.all([buildPage(), launch()]);
  }, 240_000);
  afterAll(async () => {
    await browser.close();
  });

  it('can be installed, opens, and shows the last state as old', async () => {
    const own = await startMockServer({ page: folder });
    const { page, shoot } = await openPage(browser, own.url, 'phone');
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    const manifest = await page.evaluate<{ readonly icons: readonly { readonly src: string; readonly sizes: string }[]; readonly display: string }>(`fetch(document.querySelector('link[rel=manifest]').href).then((answer) => answer.json())`);
    expect(manifest.display).toBe('standalone');
    for (const { src, sizes } of manifest.icons) {
      expect(await page.evaluate(`fetch(${JSON.stringify(src)}).then((a) => a.blob()).then((b) => createImageBitmap(b)).then((i) => i.width + 'x' + i.height)`), src).toBe(sizes);
    }
    await page.evaluate('navigator.serviceWorker.ready.then(() => true)');
    const shown = await page.getByTestId('rig-a-co-value').innerText();
    await own.close();
    await page.getByTestId('not-live-band').waitFor();
    await page.reload();
    await page.getByTestId('not-live-band').waitFor();
    expect(await page.getByTestId('not-live-band').innerText()).toMatch(/not live[\s\S]*Nothing from the server for \d+ s\. Everything below is old/i);
    expect(await page.getByTestId('rig-a-co-value').innerText()).toBe(shown);
    expect(await page.evaluate(`getComputedStyle(document.querySelector('[data-testid="rig-a-co-value"]')).textDecorationLine`)).toBe('line-through');
    await shoot('offline');
    await page.close();
  }, 180_000);

  it('forgets the last state at sign-out', async () => {
    const own = await startMockServer({ page: folder });
    const { page } = await openPage(browser, own.url, 'desk');
    await page.getByTestId('link-state').filter({ hasText: 'Live' }).waitFor();
    const kept = (): Promise<string | null> => page.evaluate<string | null>(`(dispatchEvent(new Event('pagehide')), localStorage.getItem('potside.last-state'))`);
    expect(await kept()).toContain('rig-a');
    await page.getByTestId('menu').locator('summary').click();
    await page.getByTestId('sign-out').click();
    await page.getByTestId('sign-in').waitFor();
    expect(await kept()).toBe('null');
    await page.close();
    await own.close();
  }, 180_000);
});
