import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const SERVER = 'http://127.0.0.1:8080';

export default defineConfig({
  root: import.meta.dirname,
  plugins: [react()],
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
