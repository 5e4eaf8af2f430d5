import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { migrate, openSqlite } from '../../host/open-sqlite.ts';
import { RECORD_MIGRATIONS } from '../../server/record/migrations.ts';
import { addSupervisor, mosquittoPub, type PotsideProcess, runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { certificate, webhookReceiver } from '../support/receivers.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

describe('fault 3, the server killed between sending a notice and noting it', () => {
  it('it is sent at least once and at most twice, with the same id', async () => {
    const tls = certificate();
    let running: PotsideProcess | null = null;
    const hook = await webhookReceiver(tls, (n) => {
      // The message has left; that it arrived is not noted yet.
      if (n === 1) running?.child.kill('SIGKILL');
      return n === 1 ? 'hang' : { status: 204 };
    });
    const dataDir = tempDir();
    addSupervisor(dataDir);
    const config = join(tempDir(), 'site.yaml');
    writeFileSync(config, `${SITE_YAML}
notify:
  own-hosts: [localhost]
  ca-file: ${tls.certFile}
  webhooks: [{ id: ops, url: "${hook.url}", secret-file: ${hook.secretFile} }]
  plans: { critical: [{ after: 0s, to: ["webhook:ops"] }] }
  last-wait: 10min
  repeat: 0s
`);
    const serve = (): Promise<PotsideProcess> => startPotside('serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0');
    running = await serve();
    const gone = once(running.child, 'exit');
    mosquittoPub(running.mqttPort, 'potside/pier-9/rig-a/breathing-air-co', '15');
    await gone;
    const second = await serve();
    await until(() => hook.taken.length === 2, 'the second sending', 20_000);
    const client = await signIn(second.ready.url);
    await until(async () => ((await client.get('/api/notices')) as { items: { deliveries: { state: string }[] }[] }).items[0]?.deliveries[0]?.state === 'accepted', 'what became of it');
    await second.end('SIGTERM');
    const third = await serve();
    const again = await signIn(third.ready.url);
    const { items } = (await again.get('/api/notices')) as { items: { deliveries: { state: string; attempts: number }[] }[] };
    expect(items[0]?.deliveries).toMatchObject([{ state: 'accepted', attempts: 2 }]);
    expect(hook.taken.map(({ id }) => id)).toEqual([hook.taken[0]?.id, hook.taken[0]?.id]);
  });
});

describe('an upgrade that is interrupted', () => {
  it('goes on where it was: killed in the middle of the migrations, nothing is lost and nothing is done twice', async () => {
    const file = (dir: string): string => join(dir, 'record.db');
    let interrupted = 0;
    for (let round = 0; round < 12; round += 1) {
      const dir = tempDir();
      const old = openSqlite(file(dir));
      // A record of the first version, with enough in it for the steps to take their time.
      migrate(old, RECORD_MIGRATIONS.slice(0, 3));
      old.exec("INSERT INTO series (id, site, owner, point) VALUES (1, 'pier-9', 'rig-a', 'breathing-air-co'); INSERT INTO user (name, role, hash) VALUES ('dana', 'supervisor', 'x')");
      old.exec("WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 100000) INSERT INTO computed SELECT 1, i, i, 'good', NULL FROM n");
      old.close();
      const child = spawn(process.execPath, ['dist/cli/main.js', 'user', 'list', '--data', dir], { stdio: 'ignore' });
      const ended = once(child, 'exit') as Promise<[number | null]>;
      // From the moment at which the file is first touched, a little later each round.
      await until(() => child.exitCode !== null || (existsSync(`${file(dir)}-wal`) && statSync(`${file(dir)}-wal`).size > 0), 'the first write', 20_000);
      await new Promise((resolve) => setTimeout(resolve, round));
      child.kill('SIGKILL');
      const [code] = await ended;
      if (code === null) interrupted += 1;
      const { code: then, out, err } = runPotside(['user', 'list', '--data', dir]);
      expect([then, err]).toEqual([0, '']);
      expect(out).toContain('dana\tsupervisor');
      const now = openSqlite(file(dir));
      expect((now.prepare('PRAGMA user_version').get() as { user_version: number }).user_version).toBe(RECORD_MIGRATIONS.length);
      expect((now.prepare('SELECT count(*) AS n, sum(value) AS sum FROM computed').get() as { n: number; sum: number })).toMatchObject({ n: 100_000, sum: 5_000_050_000 });
      expect((now.prepare('PRAGMA integrity_check').get() as { integrity_check: string }).integrity_check).toBe('ok');
      now.close();
    }
    expect(interrupted).toBeGreaterThan(0);
  }, 240_000);

  it('a step that fails leaves the database as it was before the step', () => {
    const database = openSqlite(join(tempDir(), 'record.db'));
    migrate(database, RECORD_MIGRATIONS);
    const broken = [...RECORD_MIGRATIONS, 'CREATE TABLE half (id INTEGER PRIMARY KEY); CREATE TABLE half (id INTEGER PRIMARY KEY)'];
    expect(() => migrate(database, broken)).toThrow();
    if (database.inTransaction) database.exec('ROLLBACK');
    expect((database.prepare('PRAGMA user_version').get() as { user_version: number }).user_version).toBe(RECORD_MIGRATIONS.length);
    expect(database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'half'").get()).toBeUndefined();
    database.close();
  });
});
