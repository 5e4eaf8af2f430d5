import type { Page } from 'playwright-core';

/** Every screen of the page against the made-up server: its address, and what is there once it has come. */
export const SCREENS: readonly (readonly [name: string, address: string, settled: string])[] = [
  ['watch', '#/watch', '[data-testid="rig-a-co-value"]'],
  ['alarms', '#/alarms', '[data-testid="alarm-list"]'],
  ['alarms-aside', '#/alarms/aside', '[data-testid="alarms-screen"] h2'],
  ['alarms-journal', '#/alarms/journal', '[data-testid="journal-entry"]'],
  ['alarms-metrics', '#/alarms/metrics', '[data-testid="rate-plot"]'],
  ['shifts', '#/shifts', '[data-testid="shift-list"]'],
  ['shift-start', '#/shifts/start', '[data-testid="start-shift"]'],
  ['shift-log', '#/shifts/shift-rig-a', '[data-testid="log-lines"]'],
  ['shift-trace', '#/shifts/shift-rig-a/trace', '[data-testid="trace-plots"] canvas'],
  ['shift-summary', '#/shifts/shift-rig-a/summary', '[data-testid="alarms-part"]'],
  ['shift-rejudge', '#/shifts/shift-rig-a/rejudge', '[data-testid="rejudge"]'],
  ['shifts-overview', '#/shifts/overview', '[data-testid="rig-table"]'],
  ['shifts-proposals', '#/shifts/proposals', '[data-testid="proposals"]'],
  ['ready', '#/ready/rig-a', '[data-testid="step-compressor"]'],
  ['rig', '#/rig/rig-a', '[data-testid="entries"]'],
  ['sizing', '#/sizing', '[data-testid="row-nozzle"]'],
];

export async function walkTo(page: Page, address: string, settled: string): Promise<void> {
  await page.evaluate(`location.hash = ${JSON.stringify(address)}`);
  await page.locator(settled).first().waitFor();
  await nothingLoads(page);
}

/** Charts and lists come with an answer of the server; what is asked is whether they are there, not when. Then they are drawn. */
export async function nothingLoads(page: Page): Promise<void> {
  await page.locator('[data-loading="true"]').first().waitFor({ state: 'detached' });
  await page.evaluate('new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))');
}
