import { UserError } from '../../host/user-error.ts';
import { type AccessBase, checkName, checkSites, write } from './access-store.ts';
import type { Doer, Identity } from './identity.ts';
import { digest, newId, newSecret } from './secret.ts';
import type { Sessions } from './sessions.ts';

/** `wall`: a link that shows one site, read only. `device`: a tablet at the rig, on which a PIN is enough. */
export const SCREEN_KINDS = ['wall', 'device'] as const;
export type ScreenKind = (typeof SCREEN_KINDS)[number];

const LONGEST_MS = 366 * 86_400_000;

export interface Screen {
  readonly id: string;
  readonly kind: ScreenKind;
  readonly name: string;
  readonly site: string;
  readonly untilMs: number;
  readonly madeBy: string;
}

/** Screens that belong to a site and not to a person; each with an end, each revocable. */
export class Screens {
  readonly #base: AccessBase;
  readonly #sessions: Sessions;

  constructor(base: AccessBase, sessions: Sessions) {
    this.#base = base;
    this.#sessions = sessions;
  }

  /** Makes one and tells its secret, once. @throws UserError */
  async add(kind: ScreenKind, name: string, site: string, untilMs: number, doer: Doer): Promise<{ id: string; secret: string }> {
    const { clock } = this.#base;
    checkName(name);
    checkSites([site]);
    const now = clock.nowMs();
    if (untilMs <= now || untilMs > now + LONGEST_MS) throw new UserError(`the end is ${new Date(untilMs).toISOString()}: expected a time from now to a year from now`);
    const secret = newSecret();
    const id = newId();
    await write(this.#base, doer, { what: `${kind}-made`, site, subject: name, new: { until: new Date(untilMs).toISOString() } }, () =>
      this.#base.sql.run('INSERT INTO screen (hash, id, kind, name, site, until_ms, made_by, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?, ?)', digest(secret), id, kind, name, site, untilMs, doer.by, now),
    );
    return { id, secret };
  }

  list(): Promise<Screen[]> {
    return this.#base.sql.all<Screen>('SELECT id, kind, name, site, until_ms AS "untilMs", made_by AS "madeBy" FROM screen WHERE until_ms > ? ORDER BY name', this.#base.clock.nowMs());
  }

  /** False where there is none of this id. */
  async revoke(id: string, doer: Doer): Promise<boolean> {
    const held = (await this.list()).find((screen) => screen.id === id);
    if (!held) return false;
    const ended = await write(this.#base, doer, { what: `${held.kind}-revoked`, site: held.site, subject: held.name }, async () => {
      await this.#base.sql.run('DELETE FROM screen WHERE id = ?', id);
      return this.#sessions.endAllOf('device', id);
    });
    this.#base.ended([...ended, keyOf(id)]);
    return true;
  }

  async find(kind: ScreenKind, secret: string): Promise<Screen | null> {
    const row = await this.#base.sql.get<Screen>('SELECT id, kind, name, site, until_ms AS "untilMs", made_by AS "madeBy" FROM screen WHERE hash = ? AND kind = ? AND until_ms > ?', digest(secret), kind, this.#base.clock.nowMs());
    return row ?? null;
  }

  /** Who a wall screen is: a viewer of its one site. */
  async wall(secret: string): Promise<Identity | null> {
    const screen = await this.find('wall', secret);
    return screen && { name: screen.name, role: 'viewer', sites: [screen.site], key: keyOf(screen.id), way: 'wall' };
  }
}

function keyOf(id: string): string {
  return `screen ${id}`;
}
