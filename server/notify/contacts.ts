import { UserError } from '../../host/user-error.ts';
import { type AccessBase, write } from '../access/access-store.ts';
import type { Doer } from '../access/identity.ts';
import { newId } from '../access/secret.ts';

/** How a person is reached. Quiet hours in minutes after local midnight of the site. */
export interface Contact {
  readonly email: string | null;
  readonly quiet: { readonly fromMin: number; readonly toMin: number } | null;
}

export interface PushSubscription {
  readonly id: string;
  readonly name: string;
  readonly endpoint: string;
  readonly p256dh: string;
  readonly auth: string;
  readonly agent: string;
  readonly madeMs: number;
}

/** A person has some phones and browsers, not hundreds. */
const PER_PERSON = 20;

/** Addresses of people, and the browsers they want to be told in. */
export class Contacts {
  readonly #base: AccessBase;

  constructor(base: AccessBase) {
    this.#base = base;
  }

  of(name: string): Contact {
    const row = this.#base.database.prepare('SELECT email, quiet_from, quiet_to FROM contact WHERE name = ?').get(name) as { email: string | null; quiet_from: number | null; quiet_to: number | null } | undefined;
    const isQuiet = row && row.quiet_from !== null && row.quiet_to !== null;
    return { email: row?.email ?? null, quiet: isQuiet ? { fromMin: row.quiet_from ?? 0, toMin: row.quiet_to ?? 0 } : null };
  }

  set(name: string, { email, quiet }: Contact, doer: Doer): void {
    const old = this.of(name);
    write(this.#base, doer, { what: 'contact-changed', subject: name, old, new: { email, quiet } }, () =>
      this.#base.database
        .prepare('INSERT INTO contact (name, email, quiet_from, quiet_to) VALUES (?, ?, ?, ?) ON CONFLICT (name) DO UPDATE SET email = excluded.email, quiet_from = excluded.quiet_from, quiet_to = excluded.quiet_to')
        .run(name, email, quiet?.fromMin ?? null, quiet?.toMin ?? null),
    );
  }

  subscriptions(name: string): PushSubscription[] {
    return this.#base.database.prepare('SELECT id, name, endpoint, p256dh, auth, agent, made_ms AS madeMs FROM push_subscription WHERE name = ? ORDER BY made_ms').all(name) as PushSubscription[];
  }

  subscription(id: string): PushSubscription | null {
    const row = this.#base.database.prepare('SELECT id, name, endpoint, p256dh, auth, agent, made_ms AS madeMs FROM push_subscription WHERE id = ?').get(id);
    return (row as PushSubscription | undefined) ?? null;
  }

  /** A browser belongs to who signed in on it last. @throws UserError beyond twenty of one person */
  subscribe(name: string, { endpoint, p256dh, auth }: Pick<PushSubscription, 'endpoint' | 'p256dh' | 'auth'>, agent: string, doer: Doer): string {
    const { database, clock } = this.#base;
    if (this.subscriptions(name).filter((held) => held.endpoint !== endpoint).length >= PER_PERSON) throw new UserError(`there are ${PER_PERSON} subscriptions already: take one away first`);
    const id = newId();
    write(this.#base, doer, { what: 'push-subscribed', subject: name, new: { agent: agent.slice(0, 200) } }, () => {
      database.prepare('DELETE FROM push_subscription WHERE endpoint = ?').run(endpoint);
      database.prepare('INSERT INTO push_subscription (id, name, endpoint, p256dh, auth, agent, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?)').run(id, name, endpoint, p256dh, auth, agent.slice(0, 200), clock.nowMs());
    });
    return id;
  }

  /** False where this person has none of this id. */
  unsubscribe(id: string, name: string, doer: Doer, why: string | null = null): boolean {
    if (this.subscription(id)?.name !== name) return false;
    write(this.#base, doer, { what: 'push-unsubscribed', subject: name, why }, () => this.#base.database.prepare('DELETE FROM push_subscription WHERE id = ?').run(id));
    return true;
  }
}
