import react from '@vitejs/plugin-react';
import { join, resolve } from 'node:path';
import { type Plugin, build, defineConfig } from 'vite';

const SERVER = 'http://127.0.0.1:8080';

/** Built apart, as one classic script at a fixed address: a worker's scope is where it lies, and its name must not change. */
function serviceWorker(): Plugin {
  let outDir = '';
  return {
    name: 'service-worker',
    apply: 'build',
    configResolved(config) {
      outDir = resolve(config.root, config.build.outDir);
    },
    async closeBundle() {
      const entry = join(import.meta.dirname, 'worker/service-worker.ts');
      await build({
        configFile: false,
        root: import.meta.dirname,
        logLevel: 'warn',
        build: { outDir, emptyOutDir: false, target: 'es2022', lib: { entry, formats: ['iife'], name: 'worker', fileName: () => 'service-worker.js' } },
      });
    },
  };
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
  },
  server: {
    host: '127.0.0.1',
    proxy: { '/api': SERVER, '/socket.io': { target: SERVER, ws: true } },
  },
});
