import axe from 'axe-core';
import type { Page } from 'playwright-core';

/** What axe finds wrong on a page, one line each; the rules of WCAG 2.0 to 2.2, A and AA, or only the one named. */
export async function axeComplaints(page: Page, rule?: string): Promise<string[]> {
  if (!(await page.evaluate(`'axe' in window`))) await page.evaluate(axe.source);
  const runOnly = rule === undefined ? { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] } : { type: 'rule', values: [rule] };
  // What happens to lie under a sticky bar is one stroke of the finger away from it: it is judged as it is then.
  const bars = (position: string): Promise<unknown> => page.evaluate(`document.querySelectorAll('.top, .foot').forEach((bar) => { bar.style.position = '${position}'; })`);
  await bars('static');
  const found = await page.evaluate(`axe.run(document, { runOnly: ${JSON.stringify(runOnly)}, resultTypes: ['violations'] }).then(({ violations }) => violations.map(({ id, nodes }) => id + ': ' + nodes.map(({ target, failureSummary }) => target.join(' ') + ' ' + failureSummary).join(' | ')))`);
  await bars('');
  return found as string[];
}
