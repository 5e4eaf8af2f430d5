import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, beforeEach } from 'vitest';
import { type MockServer, startMockServer } from './mock-server.ts';
import { buildPage } from './built-page.ts';
import { type Opened, type SizeName, launch, openPage } from './open-page.ts';

/** The built page in a browser against a made-up server: one of each for all tests of a file. */
export interface PageUnderTest {
  readonly browser: Browser;
  readonly server: MockServer;
  /** Where the page was built to, for a server of a test's own. */
  readonly folder: string;
  /** A signed-in page of the made-up server. */
  open(size: SizeName, hasTouch?: boolean): Promise<Opened>;
}

const BUILD_AND_START_MS = 240_000;

/** Registers the file's hooks; before each test the server is as if nothing had happened. */
export function pageUnderTest(role?: string): PageUnderTest {
  let parts: { readonly browser: Browser; readonly server: MockServer; readonly folder: string } | null = null;
  const at = (): NonNullable<typeof parts> => {
    if (!parts) throw new Error('pageUnderTest() is used before its beforeAll has run');
    return parts;
  };
  beforeAll(async () => {
    const folder = await buildPage();
    const [browser, server] = await Promise.all([launch(), startMockServer({ page: folder, ...(role === undefined ? {} : { role }) })]);
    parts = { browser, server, folder };
  }, BUILD_AND_START_MS);
  afterAll(async () => {
    if (!parts) return;
    await parts.browser.close();
    await parts.server.close();
  });
  beforeEach(() => {
    at().server.freeze(false);
    at().server.change({});
    at().server.play('normal');
  });
  return {
    get browser() {
      return at().browser;
    },
    get server() {
      return at().server;
    },
    get folder() {
      return at().folder;
    },
    open: (size, hasTouch) => openPage(at().browser, at().server.url, size, hasTouch),
  };
}
