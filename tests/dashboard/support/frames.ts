import type { Browser } from 'playwright-core';

/** What one frame of the page showed, as of its own animation frame; the frame's own time by the wall clock, ms. */
export interface Frame {
  readonly atMs: number;
  /** The page says live, strikes nothing through, and no veil is up. */
  readonly looksLive: boolean;
}

/** Script: notes at every frame from now on whether it looks live: the frame that is about to be painted, before any timer could mend it. */
export const NOTE_FRAMES = `(() => {
  window.framesSeen = [];
  const veil = document.querySelector('[data-testid="stand-still"]');
  const note = (frameMs) => {
    // The time that the frame is of, as all that moves in it is: one that was begun before a sleep and is run after it is of before, and
    // the compositor draws its veil anew.
    const atMs = performance.timeOrigin + frameMs;
    const number = document.querySelector('[data-testid="rig-a-co-value"]');
    const isStruck = getComputedStyle(number).textDecorationLine.includes('line-through');
    const looksLive = document.querySelector('.page').dataset.live === 'true' && !isStruck && Number(getComputedStyle(veil).opacity) < 1;
    window.framesSeen.push({ atMs, looksLive });
    requestAnimationFrame(note);
  };
  requestAnimationFrame(note);
})()`;
/** Script: what was noted. */
export const FRAMES_SEEN = 'window.framesSeen';
/** Script: true while the page says that it is live. */
export const SAYS_LIVE = `document.querySelector('[data-testid="link-state"][data-state="live"]') !== null`;

/** The processes of the browser: what stops with the machine when it sleeps. */
export async function processesOf(browser: Browser): Promise<number[]> {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  return processInfo.map(({ id }) => id);
}
