import axe from 'axe-core';
import type { Page } from 'playwright-core';

/** What each light is asked beside the rest, which does not depend on it: 4.5:1, and 7:1 in the sun. */
export const CONTRAST = { Night: 'color-contrast', Sun: 'color-contrast-enhanced' } as const;

/** What axe finds wrong on a page, one line each; the rules of WCAG 2.0 to 2.2, A and AA, or only the one named. */
export async function axeComplaints(page: Page, rule?: string): Promise<string[]> {
  if (!(await page.evaluate(`'axe' in window`))) await page.evaluate(axe.source);
  const runOnly = rule === undefined ? { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] } : { type: 'rule', values: [rule] };
  // What happens to lie under a sticky bar is one stroke of the finger away from it: it is judged as it is then. And never through the veil.
  const clear = (position: string, display: string): Promise<unknown> => page.evaluate(`document.querySelectorAll('.top, .foot').forEach((bar) => { bar.style.position = '${position}'; }); document.querySelectorAll('.stand-still').forEach((veil) => { veil.style.display = '${display}'; })`);
  await clear('static', 'none');
  const found = await page.evaluate(`axe.run(document, { runOnly: ${JSON.stringify(runOnly)}, resultTypes: ['violations'] }).then(({ violations }) => violations.map(({ id, nodes }) => id + ': ' + nodes.map(({ target, failureSummary }) => target.join(' ') + ' ' + failureSummary).join(' | ')))`);
  await clear('', '');
  return found as string[];
}

/** What the other lights' contrast lacks; the page is left in the light of the day. */
export async function contrastOfOtherLights(page: Page): Promise<string[]> {
  const light = (theme: string): Promise<unknown> => page.evaluate(`document.documentElement.dataset.theme = '${theme}'`);
  const found: string[] = [];
  for (const [theme, rule] of [['dark', CONTRAST.Night], ['sun', CONTRAST.Sun]] as const) {
    await light(theme);
    found.push(...(await axeComplaints(page, rule)).map((complaint) => `${theme}: ${complaint}`));
  }
  await light('light');
  return found;
}
