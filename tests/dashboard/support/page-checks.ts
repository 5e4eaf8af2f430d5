import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface AxeViolation {
  readonly id: string;
  readonly nodes: readonly { readonly target: readonly string[]; readonly failureSummary: string }[];
}

/** What axe-core finds wrong on the page as it stands, in short; run outside of the page's own policy. */
export async function axeFindings(page: Page): Promise<string[]> {
  // Evaluated by the debugger, which no content policy hinders.
  if (!(await page.evaluate(`'axe' in window`))) await page.evaluate(AXE);
  const violations: readonly AxeViolation[] = await page.evaluate(`axe.run(document, { resultTypes: ['violations'] }).then((found) => found.violations.map(({ id, nodes }) => ({ id, nodes: nodes.map(({ target, failureSummary }) => ({ target, failureSummary })) })))`);
  return violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => `${id}: ${target.join(' ')} ${failureSummary.replaceAll('\n', ' ')}`));
}

/** How much wider than the window the page is, px. */
export function sideways(page: Page): Promise<unknown> {
  return page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');
}

/** The same at 320 px, where the page at twice its size on a small phone ends; the window is left as it was. */
export async function atNarrow(page: Page): Promise<unknown> {
  const size = page.viewportSize();
  await page.setViewportSize({ width: 320, height: 640 });
  const wider = await sideways(page);
  if (size) await page.setViewportSize(size);
  return wider;
}

/** Targets among `selector` that are smaller than a glove needs. */
export async function smallTargets(page: Page, selector: string, leastPx = 72): Promise<string[]> {
  const boxes = await Promise.all((await page.locator(selector).all()).map(async (target) => ({ text: await target.innerText(), box: await target.boundingBox() })));
  return boxes.filter(({ box }) => (box?.width ?? 0) < leastPx - 0.5 || (box?.height ?? 0) < leastPx - 0.5).map(({ text, box }) => `${text} ${box?.width}x${box?.height}`);
}
