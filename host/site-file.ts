import { createHash } from 'node:crypto';
import { closeSync, copyFileSync, fsyncSync, mkdirSync, openSync, readFileSync, realpathSync, renameSync, rmSync, statSync, writeSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { UserError } from './user-error.ts';

export interface HeldText {
  readonly text: string;
  /** Tells this text from any other. */
  readonly version: string;
}

/** The file is not the one that was read: somebody else wrote it meanwhile. */
export class FileChanged extends Error {
  override readonly name = 'FileChanged';
}

/** In the data directory: what the file said before, each time it was written. */
const BEFORE_DIR = 'settings-before';

/**
 * A `site.yaml` that is read and written by the program. A writing is all or nothing: it goes to a new file beside the old one, is put on
 * the disk and takes its name in one step. What the file said before is kept in the data directory.
 */
export class SiteFile {
  readonly path: string;
  readonly #dataDir: string;

  constructor(path: string, dataDir: string) {
    this.path = path;
    this.#dataDir = dataDir;
  }

  get name(): string {
    return basename(this.path);
  }

  /** @throws UserError where it can't be read */
  read(): HeldText {
    try {
      const text = readFileSync(this.path, 'utf8');
      return { text, version: versionOf(text) };
    } catch (error) {
      throw new UserError(`can't read the configuration ${this.path}: ${(error as Error).message}`);
    }
  }

  exists(): boolean {
    return statSync(this.path, { throwIfNoEntry: false }) !== undefined;
  }

  /** Writes a file that must not be there yet. @throws FileChanged where it is; UserError where it can't be written */
  create(text: string): HeldText {
    if (this.exists()) throw new FileChanged(`${this.path} is there already`);
    this.#put(this.path, text, 0o640);
    return { text, version: versionOf(text) };
  }

  /**
   * Writes over the version that was read, and keeps what it said.
   * @throws FileChanged where another version is there; UserError where it can't be written
   */
  write(text: string, over: string, atMs: number): HeldText {
    const held = this.read();
    if (held.version !== over) throw new FileChanged(`${this.path} was changed by somebody else`);
    // A link keeps pointing to what it points to.
    const target = realpathSync(this.path);
    this.#keep(target, held, atMs);
    this.#put(target, text, statSync(target).mode & 0o777);
    return { text, version: versionOf(text) };
  }

  #keep(target: string, { version }: HeldText, atMs: number): void {
    const folder = join(this.#dataDir, BEFORE_DIR);
    const kept = join(folder, `${new Date(atMs).toISOString().replaceAll(':', '-')}-${version.slice(0, 8)}-${this.name}`);
    doing(`keep the old version as ${kept}`, () => {
      mkdirSync(folder, { recursive: true });
      copyFileSync(target, kept);
      sync(kept);
    });
  }

  #put(target: string, text: string, mode: number): void {
    const beside = `${target}.new-${process.pid}`;
    doing(`write the configuration ${target}`, () => {
      try {
        const file = openSync(beside, 'wx', mode);
        try {
          writeSync(file, text);
          fsyncSync(file);
        } finally {
          closeSync(file);
        }
        renameSync(beside, target);
        sync(dirname(target));
      } catch (error) {
        rmSync(beside, { force: true });
        throw error;
      }
    });
  }
}

export function versionOf(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

function sync(path: string): void {
  const file = openSync(path, 'r');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function doing(what: string, act: () => void): void {
  try {
    act();
  } catch (error) {
    throw new UserError(`can't ${what}: ${(error as Error).message}`);
  }
}
