import { describe, expect, it, onTestFinished } from 'vitest';
import { openPostgresStore } from '../../server/record/postgres/open.ts';
import { refuse } from '../../server/record/sqlite-store.ts';
import { POSTGRES_BIN } from '../support/postgres.ts';
import { signIn } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { seeded } from '../support/seeded.ts';
import { databaseAt } from '../support/stores.ts';
import { type Member, readHeld, rigOf, SITE, startMembers, TestGateway } from './support/several-servers.ts';

/** `LEASE_SEEDS=20` asks for more, `LEASE_FROM=5` for others. */
const SEEDS = Number(process.env['LEASE_SEEDS'] ?? 3);
const FROM = Number(process.env['LEASE_FROM'] ?? 1);
const PATIENCE = 60_000;

describe.skipIf(POSTGRES_BIN === null)('several servers with one site', () => {
  it(`whoever has it is stopped past its lease and woken, or killed: ${SEEDS} seeds, nothing twice, nothing missing, each alarm once`, async () => {
    const url = await databaseAt('lease seeds');
    const { store, sql } = await openPostgresStore(url, refuse);
    onTestFinished(() => store.close());
    const members = await startMembers(url, 2, SEEDS);
    const owner = async (): Promise<Member | null> => {
      const row = await sql.get<{ address: string | null }>('SELECT address FROM lease JOIN server ON server.id = lease.server WHERE site = ?', SITE);
      return members.all.find(({ process }) => process.ready.url === row?.address) ?? null;
    };
    const epoch = async (): Promise<number> => (await sql.get<{ epoch: number }>('SELECT epoch FROM lease WHERE site = ?', SITE))?.epoch ?? 0;
    const gateway = new TestGateway(members, seeded(FROM));
    const woken: string[] = [];
    let refused = 0;
    for (let seed = FROM; seed < FROM + SEEDS; seed += 1) {
      const chance = seeded(seed);
      const rig = rigOf(seed - FROM);
      const isKilled = seed % 3 === 0;
      const [hitAt, alarmAt, wait] = [10 + Math.floor(chance() * 60), 10 + Math.floor(chance() * 60), 1 + Math.floor(chance() * 20)];
      const before = await epoch();
      let hit: Member | null = null;
      const sending = (async () => {
        for (let i = 0; hit === null || (await epoch()) === before; i += 1) {
          gateway.take(rig, 'breathing-air-co', i >= alarmAt ? 15 : 2);
          gateway.take(rig, 'pot-pressure', i % 90);
          await gateway.tryOnce();
          if (i === hitAt) {
            hit = await owner();
            if (!hit) throw new Error('nobody has the site');
            if (isKilled) await hit.process.end('SIGKILL');
            else hit.process.child.kill('SIGSTOP');
          }
          await new Promise((resolve) => setTimeout(resolve, wait));
        }
      })();
      await sending;
      const first = hit as Member | null;
      if (!first) throw new Error('nobody was hit');
      if (isKilled) await first.start();
      else {
        // Woken: it believes that the site is still its own, until its first write or its next look.
        const before = first.process.log().length;
        first.process.child.kill('SIGCONT');
        await until(() => first.process.log().slice(before).includes('another server has taken this site over'), 'the woken server to let the site go', PATIENCE);
        woken.push(rig);
        refused += first.process.log().slice(before).split('nothing more is written here').length - 1;
      }
      for (let i = 0; i < 5; i += 1) gateway.take(rig, 'breathing-air-co', 15);
      await gateway.drain();
      const held = await readHeld(store);
      const what = `seed ${seed}, ${isKilled ? 'killed' : 'stopped'} at ${hitAt}`;
      expect(held.sequences, what).toEqual(gateway.sent.map(({ sequence }) => sequence));
      expect(held.differing, what).toEqual([]);
      expect(held.raised.filter((one) => one === rig), what).toHaveLength(1);
      expect(await epoch(), what).toBeGreaterThan(before);
    }
    // Both show the same, whichever has it.
    const pages = await Promise.all(members.all.map(({ process }) => signIn(process.ready.url)));
    await until(async () => {
      const [a, b] = await Promise.all(pages.map(async (page) => (await page.get('/api/alarms')).items));
      return a.length > 0 && JSON.stringify(a) === JSON.stringify(b);
    }, 'both to show the same alarms', PATIENCE);
    const { unheardMs } = await readHeld(store);
    console.info(`${SEEDS} seeds from ${FROM}, ${woken.length} woken, ${gateway.failures} tries in vain, ${gateway.sent.length} readings, ${refused} writes of woken servers refused; not heard, ms: ${unheardMs.join(' ')}`);
  }, 60_000 + SEEDS * 60_000);
});
