import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder with our package.json, whether this runs from the sources or from the build. */
export function packageRoot(): string {
  for (let here = dirname(fileURLToPath(import.meta.url)); here !== dirname(here); here = dirname(here)) {
    if (existsSync(join(here, 'package.json'))) return here;
  }
  throw new Error('no package.json above the program');
}

export function packageVersion(): string {
  return (JSON.parse(readFileSync(join(packageRoot(), 'package.json'), 'utf8')) as { version: string }).version;
}
