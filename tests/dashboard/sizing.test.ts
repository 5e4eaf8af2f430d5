import { describe, expect, it } from 'vitest';
import { answer, CALCULATIONS } from '../../cli/calc/calc-command.ts';
import { readField, slideRange, fromSlide, writeField } from '../../dashboard/sizing/field-format.ts';
import { readKept, withKept, writeKept } from '../../dashboard/sizing/kept-set-ups.ts';
import { SIZING_BOUNDS, SIZING_FIELDS, USUAL_SET_UP, isWithin } from '../../domain/air/sizing/set-up.ts';
import { axeComplaints } from './support/axe-complaints.ts';
import { startMockServer } from './support/mock-server.ts';
import { openPage } from './support/open-page.ts';
import { pageUnderTest } from './support/page-under-test.ts';

describe('a field', () => {
  it.each([
    ['nozzleBore', '7/16in', 'us', 0.0111125],
    ['nozzleBore', '11', 'si', 0.011],
    ['blastLength', '50', 'us', 15.24],
    ['blastLength', '20 m', 'us', 20],
    ['pressure', '7.5 bar', 'us', 750_000],
    ['temperature', '-5', 'si', 268.15],
    ['humidity', '80', 'us', 0.8],
    ['rigs', '3', 'us', 3],
  ] as const)('%s reads %s (%s)', (id, text, system, si) => {
    const read = readField(id, text, system);
    expect('si' in read && Math.abs(read.si - si) < 1e-6 * Math.max(1, si)).toBe(true);
  });

  it.each([
    ['pressure', '300psi', 'us', ['60 psi', '150 psi']],
    ['pressure', '114psia', 'us', ['60 psi', '150 psi']],
    ['nozzleBore', 'wide', 'si', ['4.8 mm', '19 mm']],
    ['rigs', '2.5', 'us', ['1', '6']],
  ] as const)('%s refuses %s and says what it takes', (id, text, system, wrong) => {
    expect(readField(id, text, system)).toEqual({ wrong });
  });

  it('writes what it reads again, and every step of its slider is one it can have', () => {
    for (const system of ['us', 'si'] as const) {
      for (const { id } of SIZING_FIELDS) {
        const { min, max, step } = slideRange(id, system);
        for (const slide of [min, min + step, max]) {
          const si = fromSlide(id, slide, system);
          expect([system, id, slide, isWithin(id, si)]).toEqual([system, id, slide, true]);
          const again = readField(id, writeField(id, si, system), system);
          expect([system, id, 'si' in again && Math.abs(again.si - si) <= 6e-3 * Math.max(SIZING_BOUNDS[id].high, Math.abs(si))]).toEqual([system, id, true]);
        }
      }
    }
    expect(writeField('nozzleBore', 0.0111125, 'us')).toBe('7/16 in');
    expect(writeField('blastBore', 0.03175, 'us')).toBe('1-1/4 in');
  });
});

it('kept set-ups come back, and damaged storage is none', () => {
  let kept: string | null = null;
  const keep = { getItem: () => kept, setItem: (_: string, text: string) => void (kept = text) };
  expect(writeKept(keep, withKept(withKept([], { name: 'Quay', setUp: USUAL_SET_UP }), { name: 'Quay', setUp: { ...USUAL_SET_UP, rigs: 2 } }))).toBe(true);
  expect(readKept(keep)).toEqual([{ name: 'Quay', setUp: { ...USUAL_SET_UP, rigs: 2 } }]);
  kept = '{"broken';
  expect(readKept(keep)).toEqual([]);
  expect(writeKept(null, [])).toBe(false);
});

describe('the screen', () => {
  const under = pageUnderTest();

  it.each(['desk', 'phone'] as const)('at %s size: two taps from Watch, moved by slider and by typing, compared, kept, and equal to the command line', async (size) => {
    const { page, complaints, shoot } = await under.open(size);
    await page.getByTestId('menu').locator('summary').click();
    await page.getByTestId('go-sizing').click();
    await page.getByTestId('row-nozzle').waitFor();
    const calc = (name: string, written: Record<string, string>): any => answer(CALCULATIONS.find((one) => one.name === name)!, written);
    const row = async (name: string): Promise<string> => page.getByTestId(`row-${name}`).locator('td').first().innerText();
    const machine = Number.parseFloat(await row('machine'));
    // The page shows whole psi, so the command line is asked from a whole psi too.
    const line = calc('line', { supply: `${machine}psi`, 'hose-bore': '1.25in', 'hose-length': '100ft', 'nozzle-bore': '3/8in', temperature: '95degF' });
    expect(Math.abs(Number.parseFloat(await row('nozzle')) - line.value)).toBeLessThan(1.1);
    expect(await row('nozzle')).toMatch(/^\d+ psi\s+\d+ to \d+$/);
    await shoot('sizing');
    expect(await axeComplaints(page)).toEqual([]);

    await page.getByTestId('field-nozzleBore').fill('1/2in');
    await page.getByTestId('cost-worn').getByText('bore 17/32 in').or(page.getByTestId('cost-worn').getByText('bore 9/16 in')).waitFor();
    await page.getByTestId('field-ratedFlow').fill('200 cfm');
    await page.getByTestId('gives-note').getByText('Asked for more than it gives').waitFor();
    await page.getByTestId('field-ratedFlow').fill('9000 cfm');
    await page.getByText('A number with its unit, 100 cfm to 1600 cfm').waitFor();
    expect(await page.getByTestId('gives-note').innerText()).toContain('Asked for more');
    await page.getByTestId('field-ratedFlow').fill('900 cfm');

    await page.getByTestId('compare').click();
    const slide = page.getByTestId('slide-blastLength');
    await slide.focus();
    for (let press = 0; press < 10; press += 1) await slide.press('ArrowRight');
    expect(await page.getByTestId('field-blastLength').inputValue()).toBe('150 ft');
    await page.getByTestId('row-nozzle').getByText(/^−\d+ psi$/).waitFor();
    await page.getByTestId('sketch').locator('.sketch__other').waitFor();
    await shoot('sizing-compare');
    await page.getByTestId('gives').scrollIntoViewIfNeeded();
    await shoot('sizing-gives');
    await page.getByTestId('curves').scrollIntoViewIfNeeded();
    await page.getByRole('radio', { name: 'Hose length' }).check();
    await page.waitForTimeout(300);
    await shoot('sizing-curves');
    expect(await axeComplaints(page)).toEqual([]);

    await page.getByTestId('keep-name').fill(`Long hose ${size}`);
    await page.getByTestId('keep').click();
    await page.reload();
    await page.getByTestId('kept').getByText(`Take Long hose ${size}`).click();
    expect(await page.getByTestId('field-blastLength').inputValue()).toBe('150 ft');
    await page.getByTestId('kept').scrollIntoViewIfNeeded();
    await shoot('sizing-kept');
    await page.getByTestId('menu').locator('summary').click();
    await page.getByRole('radio', { name: 'bar °C' }).check();
    expect(await page.getByTestId('field-blastLength').inputValue()).toBe('46 m');
    expect(await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth')).toBe(0);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('goes on reckoning when the server is gone', async () => {
    const own = await startMockServer({ page: under.folder });
    const { page } = await openPage(under.browser, own.url, 'desk');
    await page.goto(`${own.url}/#/sizing`);
    await page.getByTestId('row-nozzle').waitFor();
    await own.close();
    const before = await page.getByTestId('row-air').innerText();
    await page.getByTestId('field-nozzleBore').fill('5/8in');
    await expect.poll(() => page.getByTestId('row-air').innerText()).not.toBe(before);
    await page.close();
  });
});
