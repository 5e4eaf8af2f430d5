import { spawnSync } from 'node:child_process';
import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { tempDir } from '../support/temp-dir.ts';

const hasSystemd = spawnSync('systemd-analyze', ['--version']).status === 0;

it.skipIf(!hasSystemd)('systemd finds no fault with the unit, and rates what it may reach as little', () => {
  const dir = tempDir();
  const unit = join(dir, 'potside.service');
  cpSync('deploy/potside.service', unit);
  // Where Node lies is another matter on each machine; that it is there is checked too.
  writeFileSync(unit, readFileSync(unit, 'utf8').replace('/usr/bin/node', process.execPath));
  const verified = spawnSync('systemd-analyze', ['verify', unit], { encoding: 'utf8' });
  expect([verified.status, verified.stderr.split('\n').filter((line) => line.includes('potside'))]).toEqual([0, []]);
  const rated = spawnSync('systemd-analyze', ['security', '--offline=true', unit], { encoding: 'utf8' });
  expect(Number(/Overall exposure level for potside\.service: ([\d.]+)/.exec(rated.stdout)?.[1])).toBeLessThan(5);
});

it('every file that the image and the unit name is one of ours', () => {
  const named = [...readFileSync('deploy/Containerfile', 'utf8').matchAll(/dist\/cli\/main\.js/g), ...readFileSync('deploy/potside.service', 'utf8').matchAll(/dist\/cli\/main\.js/g)];
  expect(named).toHaveLength(2);
  expect((JSON.parse(readFileSync('package.json', 'utf8')) as { bin: { potside: string } }).bin.potside).toBe('dist/cli/main.js');
});
