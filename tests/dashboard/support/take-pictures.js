// Node 20 runs no TypeScript by itself; Vite's runner does. `PICTURES_TO=folder node tests/dashboard/support/take-pictures.js`
import { fileURLToPath } from 'node:url';
import { runnerImport } from 'vite';

await runnerImport(fileURLToPath(new URL('./take-pictures.ts', import.meta.url)), { logLevel: 'warn' });
