import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { type Postgres, POSTGRES_BIN, startPostgres } from '../support/postgres.ts';
import type { PotsideProcess } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { NO_TMPFS, smallDisk } from './support/kernel.ts';
import { ask, compare, NOTHING_WRONG, Sender, siteOnDisk } from './support/site-process.ts';

const PATIENCE = 60_000;
const NAME = 'serve';

interface Running {
  readonly server: Postgres;
  readonly potside: PotsideProcess;
  readonly sender: Sender;
  /** `GET /api/health` answers that it records. */
  records(): Promise<boolean>;
  /** Waits until everything that was acknowledged has left the outbox, and holds what was sent against the record. */
  settle(): Promise<ReturnType<typeof compare>>;
}

/** `potside serve` over a PostgreSQL of its own, with readings coming a hundred times a second. */
async function startServing(dataDir?: string, more: readonly string[] = []): Promise<Running> {
  const server = await startPostgres(dataDir, more);
  onTestFinished(() => server.stop());
  const potside = await siteOnDisk({ flags: ['--database', await server.database(NAME)] }).start();
  const sender = new Sender();
  await sender.connect(potside.ready.mqtt);
  const sending = setInterval(() => sender.send(5), 50);
  onTestFinished(() => clearInterval(sending));
  return {
    server,
    potside,
    sender,
    records: async () => (await fetch(`${potside.ready.url}/api/health`)).ok,
    settle: async () => {
      clearInterval(sending);
      await until(() => sender.acknowledged.size === sender.sent, 'the last acknowledgements', PATIENCE);
      await until(async () => (await ask(`${potside.ready.url}/api/ready`)).gateway.waiting === 0, 'the outbox to empty', PATIENCE);
      const rows = await server.ask("SELECT value FROM reading JOIN series ON series.id = reading.series WHERE point = 'pot-pressure'", NAME);
      return compare(sender, rows.map(({ value }) => value as number | null));
    },
  };
}

describe.skipIf(POSTGRES_BIN === null)('`potside serve` over a PostgreSQL that fails while readings come', () => {
  it('#11 #16 its sessions are cut, it is ended at once and comes back: told while it is away, then all goes on by itself, nothing acknowledged lost, nothing twice', async () => {
    const { server, sender, records, settle, potside } = await startServing();
    await until(() => sender.acknowledged.size >= 100, 'the first acknowledgements');
    let cuts = 0;
    await until(async () => {
      cuts += (await server.ask("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'potside'")).length;
      await new Promise((resolve) => setTimeout(resolve, 300));
      return cuts >= 12;
    }, 'twelve sessions to be cut', PATIENCE);
    await until(records, 'recording after the cuts', PATIENCE);

    await server.kill();
    await until(async () => !(await records()), 'Potside to say that it does not record', PATIENCE);
    const before = sender.acknowledged.size;
    // Sensors are acknowledged all the same: the outbox is on a disk of its own.
    await until(() => sender.acknowledged.size >= before + 100, 'acknowledgements while the database is away');
    expect(await ask(`${potside.ready.url}/api/ready`)).toMatchObject({ ready: false });
    await server.start();
    await until(records, 'recording again', PATIENCE);
    expect(await settle()).toEqual(NOTHING_WRONG);
    expect(potside.child.exitCode).toBeNull();
  }, 240_000);

  it.skipIf(NO_TMPFS !== null)('#10 its disk is full: told, and with room again, the database started anew, nothing acknowledged is lost, nothing twice', async () => {
    const disk = smallDisk(120);
    const { server, sender, records, settle } = await startServing(join(disk, 'data'), ['-c', 'max_wal_size=4MB', '-c', 'min_wal_size=2MB', '-c', 'wal_recycle=off']);
    await until(() => sender.acknowledged.size >= 100, 'the first acknowledgements');
    const filler = join(disk, 'filler');
    await until(async () => {
      fill(filler);
      return !(await records());
    }, 'Potside to say that it does not record', PATIENCE);
    const before = sender.acknowledged.size;
    await until(() => sender.acknowledged.size >= before + 100, 'acknowledgements while the disk is full');
    rmSync(filler);
    // A database that could not write its log ends itself rather than go on: it is started again, as its service would.
    await server.kill();
    await server.start();
    await until(records, 'recording again', PATIENCE);
    expect(await settle()).toEqual(NOTHING_WRONG);
  }, 240_000);
});

/** Leaves no room. */
function fill(file: string): void {
  for (const size of [1 << 20, 1 << 12]) {
    try {
      for (;;) writeFileSync(file, Buffer.alloc(size), { flag: 'a' });
    } catch {
      // Full, but for less than this.
    }
  }
}
