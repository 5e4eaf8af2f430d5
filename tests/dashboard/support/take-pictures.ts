import { mkdirSync } from 'node:fs';
import { chromium } from 'playwright-core';
import { startMockServer } from './mock-server.ts';
import type { Scenario } from './scenarios.ts';

/** Pictures of each state at desk and phone size, for a person to look at. Run by `take-pictures.js` beside it. */
const folder = process.env['PICTURES_TO'] ?? 'tests/output/dashboard';
mkdirSync(folder, { recursive: true });
const server = await startMockServer();
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
const SIZES = { desk: { width: 1440, height: 900 }, phone: { width: 390, height: 844 } };

for (const [name, viewport] of Object.entries(SIZES)) {
  const page = await browser.newPage({ viewport });
  page.on('console', (message) => console.log(`[${name}] ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => console.log(`[${name}] ${error.message}`));
  const shoot = async (what: string, isFull = false): Promise<void> => void (await page.screenshot({ path: `${folder}/${name}-${what}.png`, fullPage: isFull }));
  await page.goto(server.url);
  if (await page.getByTestId('sign-in').waitFor({ timeout: 3_000 }).then(() => true, () => false)) {
    await shoot('sign-in');
    await page.getByLabel('Name').fill('casey');
    await page.getByLabel('Password').fill('x');
    await page.getByRole('button', { name: 'Sign in' }).click();
  }
  await page.getByTestId('rig-a-co-value').first().waitFor();
  for (const scenario of ['normal', 'nozzle', 'co', 'lost'] as Scenario[]) {
    server.play(scenario);
    await page.waitForTimeout(1_500);
    await shoot(scenario);
    if (scenario === 'normal') await shoot('normal-full', true);
  }
  server.play('normal');
  server.freeze(true);
  await page.waitForTimeout(7_000);
  await shoot('not-live');
  server.freeze(false);
  await page.waitForTimeout(1_000);
  const overflow = await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');
  console.log(name, 'horizontal overflow', overflow);
  await page.close();
}
await browser.close();
await server.close();
