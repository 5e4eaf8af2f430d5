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
  add(kind: ScreenKind, name: string, site: string, untilMs: number, doer: Doer): { id: string; secret: string } {
    const { database, clock } = this.#base;
    checkName(name);
    checkSites([site]);
    const now = clock.nowMs();
    if (untilMs <= now || untilMs > now + LONGEST_MS) throw new UserError(`the end is ${new Date(untilMs).toISOString()}: expected a time from now to a year from now`);
    const secret = newSecret();
    const id = newId();
    write(this.#base, doer, { what: `${kind}-made`, site, subject: name, new: { until: new Date(untilMs).toISOString() } }, () =>
      database.prepare('INSERT INTO screen (hash, id, kind, name, site, until_ms, made_by, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?, ?)').run(digest(secret), id, kind, name, site, untilMs, doer.by, now),
    );
    return { id, secret };
  }

  list(): Screen[] {
    const rows = this.#base.database.prepare('SELECT id, kind, name, site, until_ms AS untilMs, made_by AS madeBy FROM screen WHERE until_ms > ? ORDER BY name').all(this.#base.clock.nowMs());
    return rows as Screen[];
  }

  /** False where there is none of this id. */
  revoke(id: string, doer: Doer): boolean {
    const held = this.list().find((screen) => screen.id === id);
    if (!held) return false;
    write(this.#base, doer, { what: `${held.kind}-revoked`, site: held.site, subject: held.name }, () => {
      this.#base.database.prepare('DELETE FROM screen WHERE id = ?').run(id);
      this.#sessions.endAllOf('device', id);
    });
    this.#base.ended([keyOf(id)]);
    return true;
  }

  find(kind: ScreenKind, secret: string): Screen | null {
    const row = this.#base.database
      .prepare('SELECT id, kind, name, site, until_ms AS untilMs, made_by AS madeBy FROM screen WHERE hash = ? AND kind = ? AND until_ms > ?')
      .get(digest(secret), kind, this.#base.clock.nowMs());
    return (row as Screen | undefined) ?? null;
  }

  /** Who a wall screen is: a viewer of its one site. */
  wall(secret: string): Identity | null {
    const screen = this.find('wall', secret);
    return screen && { name: screen.name, role: 'viewer', sites: [screen.site], key: keyOf(screen.id), way: 'wall' };
  }
}

function keyOf(id: string): string {
  return `screen ${id}`;
}
