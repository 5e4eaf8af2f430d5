import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { testServer } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';

it('gives out built files as packed by the build and for good, and the page itself anew each time', async () => {
  const dashboardDir = tempDir();
  mkdirSync(join(dashboardDir, 'assets'));
  const script = 'export const told = 1;\n'.repeat(100);
  writeFileSync(join(dashboardDir, 'index.html'), '<!doctype html>');
  writeFileSync(join(dashboardDir, 'assets', 'index-1a2b.js'), script);
  writeFileSync(join(dashboardDir, 'assets', 'index-1a2b.js.br'), brotliCompressSync(script));
  const { call } = await testServer(undefined, undefined, undefined, undefined, { dashboardDir });
  const packed = await call('GET', '/assets/index-1a2b.js', { headers: { 'accept-encoding': 'br' } });
  expect([packed.headers.get('content-encoding'), packed.headers.get('content-type'), packed.headers.get('vary'), packed.headers.get('cache-control')]).toEqual(['br', expect.stringContaining('javascript'), expect.stringContaining('ccept-'), 'public, max-age=31536000, immutable']);
  expect(await packed.text()).toBe(script);
  const plain = await call('GET', '/assets/index-1a2b.js', { headers: { 'accept-encoding': 'identity' } });
  expect([plain.headers.get('content-encoding'), await plain.text()]).toEqual([null, script]);
  const page = await call('GET', '/', { headers: { 'accept-encoding': 'br' } });
  expect([page.status, page.headers.get('cache-control'), page.headers.get('content-security-policy')]).toEqual([200, 'no-cache', expect.stringContaining("default-src 'none'")]);
});
