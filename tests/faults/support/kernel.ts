import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** Null where the machine lets us, else why not; the reason is printed, so that a skipped fault is never taken for a passed one. */
function why(what: string, command: string, ...args: string[]): string | null {
  const { status, error, stderr } = spawnSync(command, args, { encoding: 'utf8', timeout: 10_000 });
  if (status === 0) return null;
  const reason = `${what} is not to be had here: ${error?.message ?? stderr.trim().split('\n').at(-1) ?? status}`;
  console.warn(`faults skipped: ${reason}`);
  return reason;
}

const probe = mkdtempSync(join(tmpdir(), 'potside-probe-'));
/** Each is null, or the reason for skipping. */
export const NO_TMPFS = why('a file system of the suite’s own', 'sh', '-c', `mount -t tmpfs -o size=1m tmpfs ${probe} && umount ${probe}`);
rmSync(probe, { recursive: true, force: true });
export const NO_NETNS = why('a network of the suite’s own', 'sh', '-c', 'unshare -n sh -c "ip link set lo up && nft add table ip probe"');
export const NO_STRACE = why('failing single system calls', 'strace', '-D', '-f', '-o', '/dev/null', '-e', 'trace=fsync', '-e', 'inject=fsync:error=EIO:when=1', 'true');
export const NO_FAKETIME = why('a false clock', 'faketime', '-f', '+1h', 'true');

/** A small file system of the test's own, gone when it ends. */
export function smallDisk(megabytes: number): string {
  const dir = mkdtempSync(join(tmpdir(), 'potside-disk-'));
  spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', dir]);
  onTestFinished(() => {
    spawnSync('umount', ['-l', dir]);
    rmSync(dir, { recursive: true, force: true });
  });
  return dir;
}
