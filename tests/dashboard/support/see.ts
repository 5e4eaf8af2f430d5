import type { Browser, Page } from 'playwright-core';

/** The share of pixels of a picture of the page that are more colourful than grey, 0 to 1; measured by the browser itself. */
export async function colourfulShare(page: Page, hidden: string): Promise<number> {
  const png = await page.screenshot({ style: `${hidden} { visibility: hidden }` });
  const reader = await (page.context().browser() as Browser).newPage();
  const share = await reader.evaluate<number>(`(async () => {
    const image = await createImageBitmap(await (await fetch('data:image/png;base64,${png.toString('base64')}')).blob());
    const canvas = new OffscreenCanvas(image.width, image.height);
    const context = canvas.getContext('2d');
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    let colourful = 0;
    for (let i = 0; i < data.length; i += 4) if (Math.max(data[i], data[i + 1], data[i + 2]) - Math.min(data[i], data[i + 1], data[i + 2]) > 48) colourful += 1;
    return colourful / (data.length / 4);
  })()`);
  await reader.close();
  return share;
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
