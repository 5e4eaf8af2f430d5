import react from '@vitejs/plugin-react';
import { createHash } from 'node:crypto';
import { readFile, readdir, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { promisify } from 'node:util';
import { brotliCompress, constants, gzip } from 'node:zlib';
import { type Plugin, build, defineConfig } from 'vite';

const SERVER = 'http://127.0.0.1:8080';

/** Built apart, as one classic script at a fixed address: a worker's scope is where it lies, and its name must not change. */
function serviceWorker(): Plugin {
  let outDir = '';
  let files: string[] = [];
  return {
    name: 'service-worker',
    apply: 'build',
    configResolved(config) {
      outDir = resolve(config.root, config.build.outDir);
    },
    // What the worker keeps: the page and its built files, old forms of the typeface left out.
    writeBundle(_options, bundle) {
      files = ['/', ...Object.keys(bundle).filter((file) => file.startsWith('assets/') && !file.endsWith('.woff')).map((file) => `/${file}`)].sort();
    },
    async closeBundle() {
      const entry = join(import.meta.dirname, 'worker/service-worker.ts');
      await build({
        configFile: false,
        root: import.meta.dirname,
        logLevel: 'warn',
        publicDir: false,
        define: { SHELL_FILES: JSON.stringify(files), SHELL_NAME: JSON.stringify(`potside-shell-${createHash('sha256').update(files.join()).digest('hex').slice(0, 12)}`) },
        build: { outDir, emptyOutDir: false, target: 'es2022', lib: { entry, formats: ['iife'], name: 'worker', fileName: () => 'service-worker.js' } },
      });
      await packFiles(outDir);
    },
  };
}

/** Smaller files fit one packet either way. */
const LEAST_PACKED_BYTES = 1_400;

/** Packs what is text among the built files beside itself, once, so that no request has to: `x.js` gets `x.js.br` and `x.js.gz`. */
async function packFiles(folder: string): Promise<void> {
  const names = (await readdir(folder, { recursive: true })).filter((name) => /\.(js|css|html|svg|webmanifest)$/.test(name));
  await Promise.all(
    names.map(async (name) => {
      const path = join(folder, name);
      const bytes = await readFile(path);
      if (bytes.length < LEAST_PACKED_BYTES) return;
      const [brotli, gzipped] = await Promise.all([promisify(brotliCompress)(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 9 } }), promisify(gzip)(bytes, { level: 9 })]);
      await Promise.all([writeFile(`${path}.br`, brotli), writeFile(`${path}.gz`, gzipped)]);
    }),
  );
}

export default defineConfig({
  root: import.meta.dirname,
  plugins: [react(), serviceWorker()],
  build: {
    outDir: '../dist/dashboard',
    emptyOutDir: true,
    target: 'es2022',
    // Fonts and images stay files: a strict content policy has no room for data: URLs.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    // What the first view needs comes in one file: a request each for what it shares with later screens takes longer than all of it.
    rolldownOptions: { output: { codeSplitting: { groups: [{ name: 'first-view', tags: ['$initial'] }] } } },
  },
  server: {
    host: '127.0.0.1',
    proxy: { '/api': SERVER, '/socket.io': { target: SERVER, ws: true } },
  },
});
