import { createHash, randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, statSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { hash, verify } from '@node-rs/argon2';
import { z } from 'zod';
import { UserError } from '../../host/user-error.ts';
import { coversFilter, isFilter } from './topic-filter.ts';

/** OWASP's minimum for argon2id: 19 MiB, two passes. */
const ARGON2ID = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;
const MIN_PASSWORD = 8;

const filter = z.string().refine(isFilter, 'expected an MQTT topic filter');
const device = z.strictObject({
  name: z.string().regex(/^[\p{L}\p{N}][\p{L}\p{N}._-]{0,63}$/u, 'expected 1 to 64 letters, digits or . _ -'),
  hash: z.string().startsWith('$argon2id$'),
  /** Topic filters it may publish to. */
  write: z.array(filter),
  /** Topic filters it may subscribe to. */
  read: z.array(filter),
});
export type Device = z.output<typeof device>;

/** The devices that may connect to the embedded broker: a file with argon2id hashes, read anew when it changes. */
export class DeviceAccounts {
  readonly #file: string;
  readonly #salt = randomBytes(16);
  /** Digests of passwords that were right: a device that comes back often must not cost a hash each time. */
  readonly #right = new Map<string, string>();
  /** Verified when the name is unknown, so that a wrong name takes as long as a wrong password. */
  readonly #nobody = hash(randomBytes(16).toString('hex'), ARGON2ID);
  #devices: readonly Device[] = [];
  #readAt = '';
  /** One at a time: each takes 19 MiB and some tens of milliseconds. */
  #turn: Promise<unknown> = Promise.resolve();

  constructor(file: string) {
    this.#file = file;
    this.list();
  }

  /** @throws UserError where the file is no list of devices */
  list(): readonly Device[] {
    const changed = changeOf(this.#file);
    if (changed === this.#readAt) return this.#devices;
    this.#devices = changed === '' ? [] : parse(readFileSync(this.#file, 'utf8'), this.#file);
    this.#readAt = changed;
    this.#right.clear();
    return this.#devices;
  }

  /** The device of this name and password; null where either is wrong. */
  async authenticate(name: string, password: Buffer): Promise<Device | null> {
    const found = this.list().find((one) => one.name === name);
    const digest = createHash('sha256').update(this.#salt).update(password).digest('hex');
    if (found && this.#right.get(name) === digest) return found;
    const checking = this.#turn.then(async () => verify(found?.hash ?? (await this.#nobody), password));
    this.#turn = checking.catch(() => undefined);
    const isRight = await checking;
    if (!found || !isRight) return null;
    this.#right.set(name, digest);
    return found;
  }

  /** Adds a device, or gives one new topics and password. @throws UserError */
  async add(name: string, password: string, topics: { readonly write: readonly string[]; readonly read: readonly string[] }): Promise<void> {
    if (password.length < MIN_PASSWORD) throw new UserError(`the password is too short: found ${password.length} characters, expected at least ${MIN_PASSWORD}`);
    const made = device.safeParse({ name, hash: await hash(password, ARGON2ID), write: topics.write, read: topics.read });
    if (!made.success) throw new UserError(made.error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`).join('; '));
    this.#save([...this.list().filter((one) => one.name !== name), made.data]);
  }

  /** @throws UserError where there is none of this name */
  remove(name: string): void {
    const rest = this.list().filter((one) => one.name !== name);
    if (rest.length === this.list().length) throw new UserError(`there is no device ${JSON.stringify(name)}`);
    this.#save(rest);
  }

  #save(devices: readonly Device[]): void {
    mkdirSync(dirname(this.#file), { recursive: true });
    writeFileSync(`${this.#file}.new`, `${JSON.stringify(devices, null, 2)}\n`, { mode: 0o600 });
    renameSync(`${this.#file}.new`, this.#file);
  }
}

export function mayPublish({ write }: Device, topic: string): boolean {
  return write.some((allowed) => coversFilter(allowed, topic));
}

export function maySubscribe({ read }: Device, wanted: string): boolean {
  return read.some((allowed) => coversFilter(allowed, wanted));
}

function changeOf(file: string): string {
  try {
    const { mtimeMs, size, ino } = statSync(file);
    return `${mtimeMs} ${size} ${ino}`;
  } catch {
    return '';
  }
}

function parse(text: string, file: string): Device[] {
  try {
    return z.array(device).parse(JSON.parse(text));
  } catch (error) {
    throw new UserError(`${file} is no list of devices: ${(error as Error).message}`);
  }
}
