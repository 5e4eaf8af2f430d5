import { closeSync, mkdirSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { UserError } from './user-error.ts';

/** Makes the data directory ours alone until the returned function is called: two writers would each believe they are the record. */
export function lockDataDir(dataDir: string): () => void {
  try {
    mkdirSync(dataDir, { recursive: true });
  } catch (error) {
    throw new UserError(`can't make the data directory ${dataDir}: ${(error as Error).message}`);
  }
  const file = join(dataDir, 'lock');
  const holder = holderOf(file);
  if (holder !== null) throw new UserError(`the data directory ${dataDir} is in use by process ${holder}: stop it, or choose another directory with --data`);
  rmSync(file, { force: true });
  const handle = openSync(file, 'wx');
  writeSync(handle, String(process.pid));
  closeSync(handle);
  return () => rmSync(file, { force: true });
}

/** The living process that holds the lock; null where there is none or it died. */
function holderOf(file: string): number | null {
  let pid: number;
  try {
    pid = Number(readFileSync(file, 'utf8'));
  } catch {
    return null;
  }
  if (!Number.isInteger(pid) || pid <= 0 || pid === process.pid) return null;
  try {
    process.kill(pid, 0);
    return pid;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM' ? pid : null;
  }
}
