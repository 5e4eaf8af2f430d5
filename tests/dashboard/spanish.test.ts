import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { en } from '../../dashboard/words/en.ts';
import { es } from '../../dashboard/words/es.ts';
import { startMockServer } from './support/mock-server.ts';
import type { Opened, SizeName } from './support/open-page.ts';
import { sideways } from './support/page-checks.ts';
import { pageUnderTest } from './support/page-under-test.ts';
import { SCREENS, walkTo } from './support/walk.ts';

/** The page in Spanish, in a real browser. */
const under = pageUnderTest();

/** Whole sentences of the English words; those that are the same in Spanish are no sign of anything. */
function sentences(node: unknown, other: unknown): string[] {
  if (typeof node === 'string') return node !== other && /[a-z]{3}/i.test(node) ? [node] : [];
  if (typeof node !== 'object' || node === null) return [];
  return Object.entries(node).flatMap(([key, value]) => sentences(value, (other as Record<string, unknown>)[key]));
}
const ENGLISH = new Set(sentences(en, es));
/** Words that no Spanish sentence has. */
const ENGLISH_ONLY = /\b(the|and|of|is|are|not|with|from|since|who|what|for|old|below|above)\b/i;

/** Lines on the page, and the names that a screen reader says, that are English words of ours. */
async function englishOn(page: Page): Promise<string[]> {
  const lines = await page.evaluate<string[]>(`[document.body.innerText, ...[...document.querySelectorAll('[aria-label]')].map((e) => e.getAttribute('aria-label')), ...[...document.querySelectorAll('svg text')].map((e) => e.textContent)].join('\\n').split('\\n').map((line) => line.trim())`);
  return lines.filter((line) => ENGLISH.has(line));
}

async function inSpanish(size: SizeName): Promise<Opened> {
  const opened = await under.open(size);
  await opened.page.getByTestId('menu').locator('summary').click();
  await opened.page.getByRole('radio', { name: 'Español' }).check();
  await opened.page.getByRole('radio', { name: 'Español' }).and(opened.page.locator(':checked')).waitFor();
  await opened.page.getByText(es.advice).waitFor();
  await opened.page.keyboard.press('Escape');
  return opened;
}

describe.each(['desk', 'phone'] satisfies SizeName[])('in Spanish at %s size', (size) => {
  it('leaves no English on any screen, and everything in its place', async () => {
    under.server.play('list');
    under.server.free('rig-b');
    const { page, complaints, shoot } = await inSpanish(size);
    expect(await page.locator('html').getAttribute('lang')).toBe('es');
    const left: string[] = [];
    for (const [name, address, settled] of SCREENS) {
      await walkTo(page, address, settled);
      left.push(...(await englishOn(page)).map((line) => `${name}: ${line}`));
      if ((await sideways(page)) !== 0) left.push(`${name}: wider than the window`);
      if (name === 'ready') await page.getByText('Compresor: firmado (chocked; toma no a sotavento del trabajo: leído a mano) por J. Ortega').waitFor();
      await shoot(`es-${name}`);
    }
    expect(left).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  }, 180_000);

  it('says what stands and what to do first', async () => {
    under.server.play('co');
    const { page, shoot } = await inSpanish(size);
    await walkTo(page, '#/watch', '[data-testid="alarm-strip"] [data-testid="alarm-c1"]');
    const strip = await page.getByTestId('alarm-strip').innerText();
    expect(strip).toContain('Monóxido de carbono alto en el aire respirable');
    expect(strip).toContain('Yo me encargo');
    expect((await page.locator('body').innerText()).split('\n').filter((line) => ENGLISH_ONLY.test(line))).toEqual([]);
    await shoot('es-alarm');
    await page.route('**/api/alarms/*/acknowledge', (route) => route.fulfill({ status: 409, contentType: 'application/problem+json', body: JSON.stringify({ type: 'about:blank', title: 'Refused', status: 409, detail: 'already acknowledged by R. Calder' }) }));
    await page.getByTestId('alarm-strip').getByRole('button', { name: 'Yo me encargo' }).first().click();
    await page.getByTestId('alarm-strip').getByText('ya la reconoció R. Calder').first().waitFor();
    await page.close();
  }, 180_000);
});

it('is chosen before signing in, kept over a reload, and taken from the device where nobody chose', async () => {
  const own = await startMockServer({ page: under.folder });
  const context = await under.browser.newContext({ locale: 'es-MX' });
  const page = await context.newPage();
  await page.goto(own.url);
  await page.getByRole('button', { name: es.signIn.submit }).waitFor();
  await page.getByRole('radio', { name: 'English' }).check();
  await page.getByRole('button', { name: en.signIn.submit }).waitFor();
  await page.reload();
  await page.getByRole('button', { name: en.signIn.submit }).waitFor();
  await context.close();
  await own.close();
}, 180_000);
