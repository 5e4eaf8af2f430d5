import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { NewReading } from '../../gateway/outbox/outbox.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { BatchRefused } from '../../gateway/uplink/batch-refused.ts';
import { httpTarget } from '../../gateway/uplink/http-target.ts';
import { Uplink, type UplinkTarget } from '../../gateway/uplink/uplink.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW, testServer } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';
import { SettableClock } from '../../host/clock.ts';

const good = (value: number): NewReading => ({ owner: 'rig-a', point: 'pot-pressure', observedAtMs: NOW, receivedAtMs: NOW, value, quality: 'good', reason: null, backlog: false });
/** A name longer than the server takes: its 400 is the answer to every batch that holds one. */
const bad = (value: number): NewReading => ({ ...good(value), owner: 'x'.repeat(65) });

function link(file: string, target: UplinkTarget) {
  const outbox = openSqliteOutbox(file, { uplinks: [target.name], log: QUIET });
  const uplink = new Uplink({ outbox, target, site: 'pier-9', clock: new SettableClock(NOW), log: QUIET });
  let isOpen = true;
  const close = async (): Promise<void> => {
    if (!isOpen) return;
    isOpen = false;
    await uplink.stop();
    await outbox.close();
  };
  onTestFinished(close);
  return { outbox, uplink, close };
}

describe('a reading that the server will not take', () => {
  it('is found among its neighbours and kept with the server’s words; what came with it and after it arrives', async () => {
    const { server } = await testServer();
    const dir = tempDir();
    writeFileSync(join(dir, 'token'), await server.accounts.tokens.add('pier-9', 'gateway'));
    const target = httpTarget({ name: 'office', url: server.url, tokenFile: join(dir, 'token'), caFile: null });
    const { outbox, uplink, close } = link(join(dir, 'outbox.db'), target);
    await outbox.put(Array.from({ length: 60 }, (_, at) => (at === 17 || at === 41 ? bad(at) : good(at))));
    await until(() => outbox.waiting() === 0, 'all but the two', 20_000);
    await outbox.put([good(60)]);
    await until(() => outbox.waiting() === 0, 'what came after', 20_000);
    const stored = [...(server.writer('pier-9')?.cursors() ?? [])];
    expect(stored).toMatchObject([{ ranges: [[0, 61]], missing: 2 }]);
    expect(uplink.status()).toMatchObject({ connected: true, trouble: null, setAside: 2, setAsideWhy: expect.stringMatching(/400 readings\.\d+\.owner/) });
    // The server said until when it takes this token: ninety days, where nothing else was asked for.
    expect(uplink.status().tokenUntilMs).toBe(NOW + 90 * 86_400_000);
    await close();
    const said = execFileSync(process.execPath, ['dist/cli/main.js', 'set-aside', '--data', dir], { encoding: 'utf8' }).trim().split('\n').map((line) => JSON.parse(line) as { uplink: string; reading: { value: number; owner: string } });
    expect(said).toMatchObject([{ uplink: 'office', reading: { value: 17, sequence: 18 } }, { uplink: 'office', reading: { value: 41, sequence: 42 } }]);
    const again = openSqliteOutbox(join(dir, 'outbox.db'), { uplinks: ['office'], log: QUIET });
    expect(again.countSetAside('office')).toBe(2);
    await again.close();
  });

  it('stays where it is while the server refuses whatever it is given: that is not the reading’s fault', async () => {
    let tries = 0;
    const { outbox, uplink } = link(join(tempDir(), 'outbox.db'), {
      name: 'office',
      deliver: ({ readings }) => {
        tries += 1;
        // Lets one in at the greeting, and then is of another version.
        if (readings.length === 0 && tries === 1) return Promise.resolve({ committed: 0, ranges: [] });
        return Promise.reject(new BatchRefused('the server refused: 400 gateway: unknown'));
      },
    });
    await outbox.put([good(1), good(2)]);
    await until(() => tries > 6, 'several tries', 20_000);
    expect(outbox.waiting()).toBe(2);
    expect(uplink.status()).toMatchObject({ connected: false, setAside: 0, trouble: expect.stringMatching(/400/) });
  });
});
