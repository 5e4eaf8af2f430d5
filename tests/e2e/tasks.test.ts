import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { sideways } from '../dashboard/support/page-checks.ts';
import { type SIZES, launchBrowser, openPage, picture } from '../support/browser.ts';
import { type PotsideProcess, mosquittoPub, startPotside } from '../support/potside-process.ts';

/**
 * The main task of each of the three people, on a desk and with a phone, by what stands on the screens alone: no address is typed.
 * The pictures are for a person to look at.
 */
let browser: Browser;
beforeAll(async () => void (browser = await launchBrowser()));
afterAll(() => browser.close());

type Size = keyof typeof SIZES;

class Person {
  readonly page: Page;
  readonly size: Size;
  readonly faults: readonly string[];

  constructor(page: Page, size: Size, faults: readonly string[]) {
    this.page = page;
    this.size = size;
    this.faults = faults;
  }

  static async at(potside: PotsideProcess, role: string, size: Size): Promise<Person> {
    const user = potside.ready.users.find((held) => held.role === role);
    if (!user) throw new Error(`the demo has no ${role}`);
    const { page, context, faults } = await openPage(browser, potside.ready.url, size);
    onTestFinished(() => context.close());
    page.setDefaultTimeout(60_000);
    await page.getByLabel('Name').fill(user.name);
    await page.getByLabel('Password').fill(user.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByTestId('link-state').and(page.locator('[data-state=live]')).waitFor();
    return new Person(page, size, faults);
  }

  tap(testId: string): Promise<void> {
    return this.page.getByTestId(testId).first().click();
  }

  /** Taps what this size offers for one way: a desk has links in the line, a phone has doors. */
  async tapEither(onDesk: string, onPhone: string): Promise<void> {
    await this.tap(this.size === 'desktop' ? onDesk : onPhone);
  }

  async look(name: string): Promise<void> {
    expect([name, this.size, await sideways(this.page)]).toEqual([name, this.size, 0]);
    await picture(this.page, `task-${name}-${this.size}`);
  }
}

/** Watches, hands the shift over, ends it, starts the next; answers with the two shifts. */
async function supervisor(person: Person, rig: string): Promise<{ ended: string; begun: string }> {
  const { page } = person;
  if (person.size === 'phone') await page.getByTestId(`choose-${rig}`).click();
  await page.getByTestId(`profile-${rig}`).waitFor();
  await person.look('watch');
  await person.tapEither(`tend-${rig}`, 'door-rig');
  await page.getByTestId('rig-page').waitFor();
  await person.look('at-the-rig');
  await person.tap('this-shift');
  await page.getByTestId('shift-one').and(page.locator('[data-state=open]')).waitFor();
  const ended = page.url().split('#/shifts/')[1] ?? '';
  await person.tap('hand-over');
  await page.getByLabel('To whom?').fill('N. Brandt');
  await page.getByLabel('What they have to know').fill('Keep trucks off the north side.');
  await person.look('handover');
  await person.tap('handover-do');
  await page.getByTestId('log-handover').getByText('Handed over to N. Brandt').waitFor();
  await person.tap('end-shift');
  await person.look('end');
  await person.tap('end-do');
  await page.getByTestId('sign-off').waitFor();
  await person.look('ended');
  await person.tap('start-next');
  await page.locator('input[name="nozzleBore"]').waitFor();
  await expect.poll(() => page.locator('input[name="nozzleBore"]').inputValue()).not.toBe('');
  await person.look('start');
  await person.tap('start-do');
  await page.getByTestId('shift-one').and(page.locator('[data-state=open]')).waitFor();
  await person.look('started');
  const begun = page.url().split('#/shifts/')[1] ?? '';
  // A wider nozzle: what it costs, and put on the shift.
  await page.getByTestId('menu').locator('summary').click();
  await person.tap('go-sizing');
  await page.getByTestId('row-nozzle').waitFor();
  await page.getByTestId('field-nozzleBore').fill('1/2in');
  await person.tap(`put-${rig}`);
  await page.getByTestId('kept').getByText('shift has this setup now').waitFor();
  await person.look('sizing-put');
  await person.tap('door');
  if (person.size === 'phone') await person.tap(`choose-${rig}`);
  await person.tapEither(`tend-${rig}`, 'door-rig');
  await person.tap('this-shift');
  await page.getByTestId('setup').getByText(/1 ?\/ ?2 in|0\.5 in/).waitFor();
  return { ended, begun };
}

/** Carbon monoxide: takes the alarm, reads what to do first, says that the blaster is out. */
async function safetyOfficer(person: Person, raise: () => void): Promise<void> {
  const { page } = person;
  raise();
  const strip = page.getByTestId('alarm-strip').locator('[data-alarm="co-high"]').first();
  await strip.waitFor();
  await person.look('co');
  await strip.getByTestId('acknowledge').click();
  await strip.getByTestId('acknowledge').waitFor({ state: 'detached' });
  await person.tap('door');
  const row = page.getByTestId('alarm-list').locator('[data-alarm="co-high"]').first();
  await row.getByTestId('toggle-card').click();
  await page.getByText('Do first').first().waitFor();
  await person.look('card');
  await page.getByTestId('alarm-list').getByTestId('confirm-out').first().click();
  await page.getByTestId('alarm-list').getByTestId('confirm-out').first().waitFor({ state: 'detached' });
  await person.look('blaster-out');
}

/** Finds the shift of before, looks at its trace and summary, takes the report away. */
async function manager(person: Person, shift: string): Promise<void> {
  const { page } = person;
  await person.tapEither('second-door', 'door-shifts');
  await page.getByLabel('Find').fill('Brandt');
  await page.getByTestId(`shift-row-${shift}`).waitFor();
  await person.look('found');
  await page.getByTestId(`shift-row-${shift}`).getByRole('link').first().click();
  await page.getByTestId('log-handover').waitFor();
  await person.tap('shift-tab-trace');
  await page.locator('[data-testid="trace-view"]:not([data-loading]) canvas').first().waitFor();
  await person.look('trace');
  await person.tap('shift-tab-summary');
  await page.getByTestId('coverage').waitFor();
  await person.look('summary');
  await person.tap('shift-tab-log');
  const [report] = await Promise.all([page.waitForEvent('download'), page.getByTestId('file-report.pdf').click()]);
  expect(report.suggestedFilename()).toMatch(/\.pdf$/);
  expect(await report.failure()).toBeNull();
}

describe('the main task of each of the three people', () => {
  it('is done on a desk and with a phone', async () => {
    const potside = await startPotside('demo', '--scenario', 'quiet', '--port', '0', '--mqtt-port', '0');
    const people: Person[] = [];
    const come = async (role: string, size: Size): Promise<Person> => {
      const person = await Person.at(potside, role, size);
      people.push(person);
      return person;
    };
    for (const [size, rig] of [['desktop', 'rig-a'], ['phone', 'rig-b']] as const) {
      const { ended, begun } = await supervisor(await come('supervisor', size), rig);
      expect(begun).not.toBe(ended);
      const site = ended.replace(/-\d+-\d+$/, '');
      await safetyOfficer(await come('safety-officer', size), () => mosquittoPub(potside.mqttPort, `potside/${site}/${rig}/breathing-air-co`, '12.5'));
      await manager(await come('manager', size), ended);
    }
    expect(people.flatMap(({ faults }) => faults).filter((fault) => !/WebSocket|ERR_/.test(fault))).toEqual([]);
    expect((await potside.end('SIGINT')).code).toBe(0);
  }, 400_000);
});
