import { type Language, isLanguage } from '../../domain/shift/language.ts';
import { UserError } from '../../host/user-error.ts';
import { type AccessBase, write } from '../access/access-store.ts';
import type { Doer } from '../access/identity.ts';
import { newId } from '../access/secret.ts';

/** How a person is reached. Quiet hours in minutes after local midnight of the site. */
export interface Contact {
  readonly email: string | null;
  readonly quiet: { readonly fromMin: number; readonly toMin: number } | null;
  /** In which messages come; null: the site's. */
  readonly language: Language | null;
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

  async of(name: string): Promise<Contact> {
    const row = await this.#base.sql.get<{ email: string | null; quiet_from: number | null; quiet_to: number | null; language: string | null }>('SELECT email, quiet_from, quiet_to, language FROM contact WHERE name = ?', name);
    const isQuiet = row && row.quiet_from !== null && row.quiet_to !== null;
    return { email: row?.email ?? null, quiet: isQuiet ? { fromMin: row.quiet_from ?? 0, toMin: row.quiet_to ?? 0 } : null, language: isLanguage(row?.language) ? row.language : null };
  }

  async set(name: string, { email, quiet, language }: Contact, doer: Doer): Promise<void> {
    const old = await this.of(name);
    await write(this.#base, doer, { what: 'contact-changed', subject: name, old, new: { email, quiet, language } }, () =>
      this.#base.sql.run('INSERT INTO contact (name, email, quiet_from, quiet_to, language) VALUES (?, ?, ?, ?, ?) ON CONFLICT (name) DO UPDATE SET email = excluded.email, quiet_from = excluded.quiet_from, quiet_to = excluded.quiet_to, language = excluded.language', name, email, quiet?.fromMin ?? null, quiet?.toMin ?? null, language),
    );
  }

  async subscriptions(name: string): Promise<PushSubscription[]> {
    return this.#base.sql.all<PushSubscription>('SELECT id, name, endpoint, p256dh, auth, agent, made_ms AS "madeMs" FROM push_subscription WHERE name = ? ORDER BY made_ms', name);
  }

  async subscription(id: string): Promise<PushSubscription | null> {
    const row = await this.#base.sql.get<PushSubscription>('SELECT id, name, endpoint, p256dh, auth, agent, made_ms AS "madeMs" FROM push_subscription WHERE id = ?', id);
    return row ?? null;
  }

  /** A browser belongs to who signed in on it last. @throws UserError beyond twenty of one person */
  async subscribe(name: string, { endpoint, p256dh, auth }: Pick<PushSubscription, 'endpoint' | 'p256dh' | 'auth'>, agent: string, doer: Doer): Promise<string> {
    const { clock } = this.#base;
    if ((await this.subscriptions(name)).filter((held) => held.endpoint !== endpoint).length >= PER_PERSON) throw new UserError(`there are ${PER_PERSON} subscriptions already: take one away first`);
    const id = newId();
    await write(this.#base, doer, { what: 'push-subscribed', subject: name, new: { agent: agent.slice(0, 200) } }, async () => {
      await this.#base.sql.run('DELETE FROM push_subscription WHERE endpoint = ?', endpoint);
      await this.#base.sql.run('INSERT INTO push_subscription (id, name, endpoint, p256dh, auth, agent, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?)', id, name, endpoint, p256dh, auth, agent.slice(0, 200), clock.nowMs());
    });
    return id;
  }

  /** False where this person has none of this id. */
  async unsubscribe(id: string, name: string, doer: Doer, why: string | null = null): Promise<boolean> {
    if ((await this.subscription(id))?.name !== name) return false;
    await write(this.#base, doer, { what: 'push-unsubscribed', subject: name, why }, () => this.#base.sql.run('DELETE FROM push_subscription WHERE id = ?', id));
    return true;
  }
}
