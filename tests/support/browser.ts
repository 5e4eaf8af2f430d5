import { mkdirSync } from 'node:fs';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';

/** The two sizes every screen is looked at. */
export const SIZES = { desktop: { width: 1440, height: 900 }, phone: { width: 390, height: 844 } } as const;

export const PICTURES = 'tests/output/pictures';

/** Debian's Chromium without its chatter to the outside, and with more flags where a test needs some. */
export function launchBrowser(...more: readonly string[]): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', ...more],
  });
}

export async function openPage(browser: Browser, url: string, size: keyof typeof SIZES): Promise<{ page: Page; context: BrowserContext; faults: string[] }> {
  const context = await browser.newContext({ viewport: SIZES[size], deviceScaleFactor: 1, hasTouch: size === 'phone' });
  const page = await context.newPage();
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().includes('401')) faults.push(message.text());
  });
  await page.goto(url);
  return { page, context, faults };
}

export async function picture(page: Page, name: string): Promise<void> {
  mkdirSync(PICTURES, { recursive: true });
  await page.screenshot({ path: `${PICTURES}/${name}.png` });
}
