import type { Browser, Page } from 'playwright-core';

/** Script in a page of its own: the pixels of a picture given as base64, RGBA. */
const PIXELS = `async (png) => {
  const image = await createImageBitmap(await (await fetch('data:image/png;base64,' + png)).blob());
  const context = new OffscreenCanvas(image.width, image.height).getContext('2d');
  context.drawImage(image, 0, 0);
  return context.getImageData(0, 0, image.width, image.height).data;
}`;

/** Counts by the browser itself, which can read pictures. */
async function count<T>(page: Page, script: string): Promise<T> {
  const reader = await (page.context().browser() as Browser).newPage();
  const counted = await reader.evaluate<T>(script);
  await reader.close();
  return counted;
}

/** The share of pixels of a picture of the page that are more colourful than grey, 0 to 1. */
export async function colourfulShare(page: Page, hidden: string): Promise<number> {
  const png = await page.screenshot({ style: `${hidden} { visibility: hidden }` });
  return count<number>(page, `(async () => {
    const data = await (${PIXELS})('${png.toString('base64')}');
    let colourful = 0;
    for (let i = 0; i < data.length; i += 4) if (Math.max(data[i], data[i + 1], data[i + 2]) - Math.min(data[i], data[i + 1], data[i + 2]) > 48) colourful += 1;
    return colourful / (data.length / 4);
  })()`);
}

/** The share of pixels in which two pictures of one size are plainly not alike, 0 to 1; 1 where the sizes differ. */
export function differentShare(page: Page, one: string, other: string): Promise<number> {
  return count<number>(page, `(async () => {
    const [a, b] = await Promise.all(['${one}', '${other}'].map(${PIXELS}));
    if (a.length !== b.length) return 1;
    let different = 0;
    for (let i = 0; i < a.length; i += 4) if (Math.abs(a[i] - b[i]) > 48) different += 1;
    return different / (a.length / 4);
  })()`);
}

export interface Focused {
  readonly what: string;
  /** Width of the ring round it, px; what wraps it may carry the ring instead. */
  readonly ringPx: number;
  /** Nothing lies over its middle. */
  readonly isOnTop: boolean;
}

/** Presses Tab until the focus comes round, and tells what had it on the way. */
export async function tabThrough(page: Page, most = 120): Promise<Focused[]> {
  const seen: Focused[] = [];
  await page.evaluate(`document.activeElement?.blur?.(); document.querySelectorAll('[data-seen-by-tab]').forEach((e) => e.removeAttribute('data-seen-by-tab'))`);
  for (let press = 0; press < most; press += 1) {
    await page.keyboard.press('Tab');
    const focused = await page.evaluate<(Focused & { readonly isFirst: boolean }) | null>(`(() => {
      const it = document.activeElement;
      if (!it || it === document.body) return null;
      const isFirst = it.hasAttribute('data-seen-by-tab');
      it.setAttribute('data-seen-by-tab', '');
      const ring = (e) => (e && getComputedStyle(e).outlineStyle !== 'none' ? parseFloat(getComputedStyle(e).outlineWidth) : 0);
      const { left, top, width, height } = it.getBoundingClientRect();
      const over = document.elementFromPoint(left + width / 2, Math.min(top + height / 2, innerHeight - 1));
      return { what: (it.getAttribute('aria-label') ?? it.textContent ?? '').trim().slice(0, 40) || it.tagName, isFirst,
        ringPx: Math.max(ring(it), ring(it.nextElementSibling), ring(it.parentElement)),
        isOnTop: !over || it.contains(over) || over.contains(it) || it.parentElement.contains(over) };
    })()`);
    if (focused === null || focused.isFirst) break;
    seen.push(focused);
  }
  return seen;
}

/** Everything that can be pressed and is smaller than WCAG's floor; links within a sentence are as high as the sentence. */
export function belowTheFloor(page: Page, leastPx = 24): Promise<string[]> {
  return page.evaluate<string[]>(`[...document.querySelectorAll('button, a[href], summary, select, input')].flatMap((e) => {
    const target = e.matches('input[type=radio], input[type=checkbox]') ? (e.closest('label') ?? e) : e;
    const { width, height } = target.getBoundingClientRect();
    if (width === 0 || !e.checkVisibility({ visibilityProperty: true })) return [];
    return width < ${leastPx} || height < ${leastPx} ? [(e.getAttribute('aria-label') ?? e.textContent ?? e.name).trim().slice(0, 40) + ' ' + Math.round(width) + 'x' + Math.round(height)] : [];
  })`);
}
