import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { once } from 'node:events';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { emailChannel } from '../../server/notify/email-channel.ts';
import { testMessage } from '../../server/notify/messages.ts';
import { until } from '../support/quiet.ts';

/** Debian's OpenSMTPD, where it is installed; it runs as root only, because it changes to the owner of each mailbox. */
const SMTPD = '/usr/sbin/smtpd';
const isThere = existsSync(SMTPD) && process.getuid?.() === 0 && spawnSync('pgrep', ['-x', 'smtpd']).status !== 0;

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

it.skipIf(!isThere)('Debian’s OpenSMTPD takes our mail and puts it into the mailbox, whole and with its id; a foreign address it refuses for good', async () => {
  const dir = mkdtempSync(join(tmpdir(), 'potside-mail-'));
  chmodSync(dir, 0o755);
  const box = join(dir, 'box');
  mkdirSync(box);
  chmodSync(box, 0o777);
  const port = await freePort();
  const file = join(dir, 'smtpd.conf');
  writeFileSync(file, `listen on 127.0.0.1 port ${port}\ntable people { "olga@example.test" = "nobody" }\ntable domains { "example.test" }\naction "keep" maildir "${box}" virtual <people>\nmatch from any for domain <domains> action "keep"\n`);
  const daemon = spawn(SMTPD, ['-d', '-f', file], { stdio: ['ignore', 'pipe', 'pipe'] });
  let said = '';
  daemon.stderr.on('data', (part: Buffer) => (said += part.toString()));
  const ended = once(daemon, 'exit');
  onTestFinished(async () => {
    daemon.kill('SIGTERM');
    await ended;
    rmSync(dir, { recursive: true });
  });
  const channel = emailChannel({ host: '127.0.0.1', port, security: 'none', username: null, passwordFile: null, from: 'potside@example.test' }, null);
  onTestFinished(() => channel.close());
  const message = testMessage('0123456789abcdef', 'dana', Date.UTC(2026, 5, 1, 12), { site: 'pier-9', siteName: 'Pier 9 fenders', zone: 'America/Chicago', language: 'en', page: 'https://potside.example' }, 'en');
  await until(async () => (await channel.send('olga@example.test', message, 5_000)).kind === 'accepted', `the relay: ${said}`, 20_000);
  const mails = (): string[] => (existsSync(join(box, 'new')) ? readdirSync(join(box, 'new')) : []);
  await until(() => mails().length === 1, 'the mail in the box', 20_000);
  const raw = readFileSync(join(box, 'new', mails()[0] ?? ''), 'utf8');
  expect(raw).toMatch(/^Message-ID: <0123456789abcdef@example\.test>$/m);
  expect(raw).toMatch(/^Subject: Test: /m);
  expect(raw.replaceAll(/=\r?\n/g, '')).toContain('no substitute for the CO alarm, the deadman or a competent person');
  expect(await channel.send('eve@elsewhere.test', message, 5_000)).toMatchObject({ kind: 'failed', isFinal: true });
});
