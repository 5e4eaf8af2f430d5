import { createHash } from 'node:crypto';
import { createReadStream, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { Command } from 'commander';
import { openSqlite } from '../../host/open-sqlite.ts';
import { packageVersion } from '../../host/package-root.ts';
import { readTarGz, writeTarGz } from '../../host/tar.ts';
import { UserError } from '../../host/user-error.ts';
import { dataFlag } from '../flags.ts';

/**
 * The outbox first: a reading that moves to the record meanwhile is then in both, and the record's cursor passes it over; the other
 * way round it would be in neither.
 */
const DATABASES = ['outbox.db', 'record.db'];
/** Files of a running program that a restored one must not find, and what belongs to a database. */
const LEFT_OUT = /^lock$|\.db(-wal|-shm|-journal)?$/;
const MANIFEST = 'backup.json';

interface Manifest {
  readonly potside: string;
  readonly madeAt: string;
  /** Name → SHA-256. */
  readonly files: Readonly<Record<string, string>>;
}

/** `potside backup`: record and outbox as they are at one moment, also while they are in use. */
export function backupCommand(): Command {
  return new Command('backup')
    .description('copy the record, the outbox and the keys into one file, also while Potside runs')
    .argument('<file>', 'where to, e.g. potside.tar.gz; it must not exist. It holds secrets: keep it where only you can read it')
    .addOption(dataFlag())
    .addHelpText('after', '\nExample:\n  potside backup /mnt/backup/potside-monday.tar.gz --data potside-data\n')
    .action(async (file: string, { data }: { data: string }) => {
      const size = await backUp(file, data);
      process.stdout.write(`${file}: ${(size / 1e6).toFixed(1)} MB. It holds secrets; keep it where only you can read it.\n`);
    });
}

/** `potside restore`: a backup into a new data directory. */
export function restoreCommand(): Command {
  return new Command('restore')
    .description('put a backup into an empty data directory')
    .argument('<file>', 'a file of `potside backup`')
    .addOption(dataFlag())
    .addHelpText('after', '\nExample:\n  potside restore /mnt/backup/potside-monday.tar.gz --data potside-data\n  potside serve --config site.yaml --data potside-data\n')
    .action(async (file: string, { data }: { data: string }) => {
      const { madeAt } = await restore(file, data);
      process.stdout.write(`${data}: restored as it was at ${madeAt}.\n`);
    });
}

async function backUp(file: string, dataDir: string): Promise<number> {
  if (existsSync(file)) throw new UserError(`${file} is already there: choose another name`);
  if (!existsSync(join(dataDir, 'record.db')) && !existsSync(join(dataDir, 'outbox.db'))) throw new UserError(`${dataDir} holds neither a record nor an outbox: give the data directory with --data`);
  // Beside the backup and not in the data directory: that is where there is room for it.
  const work = mkdtempSync(`${resolve(file)}.making-`);
  try {
    const entries: { name: string; file: string }[] = [];
    for (const name of DATABASES.filter((one) => existsSync(join(dataDir, one)))) {
      const copy = join(work, name);
      copyDatabase(join(dataDir, name), copy);
      entries.push({ name, file: copy });
    }
    for (const name of readdirSync(dataDir)) {
      if (!LEFT_OUT.test(name) && statSync(join(dataDir, name)).isFile()) entries.push({ name, file: join(dataDir, name) });
    }
    const files: Record<string, string> = {};
    for (const entry of entries) files[entry.name] = await sha256(entry.file);
    const manifest: Manifest = { potside: packageVersion(), madeAt: new Date().toISOString(), files };
    writeFileSync(join(work, MANIFEST), `${JSON.stringify(manifest, null, 2)}\n`);
    const made = join(work, 'made');
    await writeTarGz(made, [{ name: MANIFEST, file: join(work, MANIFEST) }, ...entries]);
    renameSync(made, file);
    return statSync(file).size;
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

/** A copy as of one moment, without what is no longer used; writers go on meanwhile. */
function copyDatabase(from: string, to: string): void {
  const database = openSqlite(from);
  try {
    database.prepare('VACUUM INTO ?').run(to);
  } finally {
    database.close();
  }
}

async function restore(file: string, dataDir: string): Promise<Manifest> {
  if (!existsSync(file)) throw new UserError(`${file}: there is no such file`);
  if (existsSync(dataDir) && readdirSync(dataDir).length > 0) throw new UserError(`the data directory ${dataDir} is not empty: restore into a new one, and keep the old one until you are sure`);
  const target = resolve(dataDir);
  mkdirSync(dirname(target), { recursive: true });
  // Unpacked beside it and moved when all is well: half a backup must never be started on.
  const work = mkdtempSync(`${target}.restoring-`);
  try {
    await readTarGz(file, (name) => join(work, basename(name))).catch((error: unknown) => {
      throw new UserError(`${file} is no backup of Potside, or it is damaged: ${(error as Error).message}`);
    });
    const manifest = await checked(file, work);
    rmSync(join(work, MANIFEST));
    if (existsSync(target)) rmdirSync(target);
    renameSync(work, target);
    return manifest;
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

async function checked(file: string, dir: string): Promise<Manifest> {
  if (!existsSync(join(dir, MANIFEST))) throw new UserError(`${file} is no backup of Potside: it has no ${MANIFEST}`);
  const manifest = JSON.parse(readFileSync(join(dir, MANIFEST), 'utf8')) as Manifest;
  for (const [name, hash] of Object.entries(manifest.files)) {
    if (!existsSync(join(dir, name)) || (await sha256(join(dir, name))) !== hash) throw new UserError(`${file} is damaged: ${name} is not what was backed up`);
  }
  const stray = readdirSync(dir).filter((name) => name !== MANIFEST && !(name in manifest.files));
  if (stray.length > 0) throw new UserError(`${file} is damaged: it holds ${stray.join(', ')}, which was not backed up`);
  return manifest;
}

async function sha256(file: string): Promise<string> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(file), hash);
  return hash.digest('hex');
}
