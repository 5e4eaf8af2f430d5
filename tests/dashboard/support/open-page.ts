import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type Page, chromium } from 'playwright-core';

export function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

export const SIZES = { desk: { width: 1440, height: 900 }, phone: { width: 390, height: 844 }, narrow: { width: 320, height: 640 } } as const;
export type SizeName = keyof typeof SIZES;

export interface Opened {
  readonly page: Page;
  /** Whatever the browser complained about: policy violations, errors, failed requests. */
  readonly complaints: string[];
  shoot(name: string): Promise<void>;
}

const PICTURES = fileURLToPath(new URL('../../output/dashboard', import.meta.url));

/** A signed-in page; pictures land in tests/output/dashboard for a person to look at. */
export async function openPage(browser: Browser, url: string, size: SizeName, hasTouch = false): Promise<Opened> {
  const page = await browser.newPage({ viewport: SIZES[size], hasTouch });
  // Shorter than a test's own limit, so that what was waited for is named.
  page.setDefaultTimeout(20_000);
  const complaints: string[] = [];
  page.on('console', (message) => message.type() === 'error' && !message.text().includes('401') && complaints.push(`${message.text()} ${message.location().url}`));
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(url);
  await page.getByTestId('sign-in').or(page.getByTestId('rig-a-co')).first().waitFor();
  if (await page.getByTestId('sign-in').isVisible()) {
    await page.getByLabel('Name').fill('casey');
    await page.getByLabel('Password').fill('x');
    await page.getByRole('button', { name: 'Sign in' }).click();
  }
  await page.getByTestId('rig-a-co').waitFor();
  mkdirSync(PICTURES, { recursive: true });
  return { page, complaints, shoot: async (name) => void (await page.screenshot({ path: join(PICTURES, `${size}-${name}.png`) })) };
}
