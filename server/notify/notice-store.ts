import { createHash } from 'node:crypto';
import type { Sqlite } from '../../host/open-sqlite.ts';
import { inOneWrite } from '../access/access-store.ts';
import type { Notice, NoticeBody, SealBody } from './notice.ts';

export const CHANNELS = ['push', 'email', 'webhook'] as const;
export type ChannelName = (typeof CHANNELS)[number];

/**
 * `waiting`: to be sent at `nextMs`. `sending`: written before the sending begins. `accepted`: the channel's first server has it.
 * `dead`: it could not be handed over in time. `muted`: the person's quiet hours. `cancelled`: the alarm was over or taken first.
 */
export const DELIVERY_STATES = ['waiting', 'sending', 'accepted', 'dead', 'muted', 'cancelled'] as const;
type DeliveryState = (typeof DELIVERY_STATES)[number];

export interface Delivery {
  /** Goes with the message, the same at every try. */
  readonly id: string;
  readonly notice: string;
  readonly round: number;
  readonly step: number;
  readonly person: string | null;
  readonly channel: ChannelName;
  /** Where to: an address, the id of a subscription or of a webhook. */
  readonly target: string;
  readonly digest: boolean;
  readonly deadlineMs: number;
  readonly nextMs: number;
  readonly attempts: number;
  /** How often the server died between sending and noting it. */
  readonly uncertain: number;
  /** Set where several went in one message: its id. */
  readonly batch: string | null;
  readonly state: DeliveryState;
  readonly result: string | null;
  readonly atMs: number | null;
}

export type OpenNotice<N extends Notice = Notice> = N & {
  /** The plan's beginning anew, counted from 0. */
  readonly round: number;
  readonly nextStep: number;
};

export type PastNotice = Notice & {
  readonly endedAtMs: number | null;
  readonly endedWhy: string | null;
};

interface NoticeRow {
  readonly id: string;
  readonly site: string;
  /** What it is about: of a seal the shift. */
  readonly alarm: string;
  readonly raised_ms: number;
  readonly body: string;
  readonly round: number;
  readonly next_step: number;
  readonly ended_ms: number | null;
  readonly ended_why: string | null;
}
type DeliveryRow = Omit<Delivery, 'digest' | 'deadlineMs' | 'nextMs' | 'atMs'> & { readonly digest: number; readonly deadline_ms: number; readonly next_ms: number; readonly at_ms: number | null };

/** A server that died more often than this between sending and noting it does not send again: nobody gets a message three times. */
const MAX_UNCERTAIN = 2;

/** The outbox of notices. Rows of `notice` come with the commit that raised the alarm; what becomes of them is written here. */
export class NoticeStore {
  readonly #database: Sqlite;

  constructor(database: Sqlite) {
    this.#database = database;
  }

  /** Within the commit of the site's writer. */
  add(notice: Notice): void {
    const { id, site, raisedAtMs } = notice;
    const [about, body] = 'seal' in notice ? [notice.seal.shift, { seal: notice.seal }] : [notice.alarm, notice.body];
    this.#database.prepare('INSERT OR IGNORE INTO notice (id, site, alarm, raised_ms, body) VALUES (?, ?, ?, ?, ?)').run(id, site, about, raisedAtMs, JSON.stringify(body));
  }

  open(): OpenNotice[] {
    return (this.#database.prepare('SELECT * FROM notice WHERE ended_ms IS NULL ORDER BY raised_ms').all() as NoticeRow[]).map((row) => ({ ...toNotice(row), round: row.round, nextStep: row.next_step }));
  }

  find(id: string): PastNotice | null {
    const row = this.#database.prepare('SELECT * FROM notice WHERE id = ?').get(id) as NoticeRow | undefined;
    return row ? { ...toNotice(row), endedAtMs: row.ended_ms, endedWhy: row.ended_why } : null;
  }

  latest(site: string, limit: number): PastNotice[] {
    const rows = this.#database.prepare('SELECT * FROM notice WHERE site = ? ORDER BY raised_ms DESC LIMIT ?').all(site, limit) as NoticeRow[];
    return rows.map((row) => ({ ...toNotice(row), endedAtMs: row.ended_ms, endedWhy: row.ended_why }));
  }

  deliveries(notice: string): Delivery[] {
    return (this.#database.prepare('SELECT * FROM delivery WHERE notice = ? ORDER BY round, step, channel, id').all(notice) as DeliveryRow[]).map(toDelivery);
  }

  due(nowMs: number): Delivery[] {
    return (this.#database.prepare("SELECT * FROM delivery WHERE state = 'waiting' AND next_ms <= ? ORDER BY next_ms, id LIMIT 500").all(nowMs) as DeliveryRow[]).map(toDelivery);
  }

  /** Puts a step's deliveries in and moves the notice on, both or neither. Done twice it does nothing. */
  expand(notice: OpenNotice, deliveries: readonly Omit<Delivery, 'id' | 'attempts' | 'uncertain' | 'batch' | 'result' | 'atMs'>[], next: { readonly round: number; readonly nextStep: number }): void {
    inOneWrite(this.#database, () => {
      const insert = this.#database.prepare('INSERT OR IGNORE INTO delivery (id, notice, round, step, person, channel, target, digest, deadline_ms, next_ms, state) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)');
      for (const d of deliveries) insert.run(idOf(d), d.notice, d.round, d.step, d.person, d.channel, d.target, d.digest ? 1 : 0, d.deadlineMs, d.nextMs, d.state);
      this.#database.prepare('UPDATE notice SET round = ?, next_step = ? WHERE id = ?').run(next.round, next.nextStep, notice.id);
    });
  }

  /** `also` is written with it, both or neither. */
  end(notice: string, atMs: number, why: string, also: () => void = () => undefined): void {
    inOneWrite(this.#database, () => {
      this.#database.prepare('UPDATE notice SET ended_ms = ?, ended_why = ? WHERE id = ? AND ended_ms IS NULL').run(atMs, why, notice);
      this.#database.prepare("UPDATE delivery SET state = 'cancelled', result = ?, at_ms = ? WHERE notice = ? AND state = 'waiting'").run(why, atMs, notice);
      also();
    });
  }

  /** Before the message leaves: a server that dies now must know at its next start that it may have left. */
  sending(deliveries: readonly Delivery[], batch: string | null): void {
    inOneWrite(this.#database, () => {
      for (const { id } of deliveries) this.#database.prepare("UPDATE delivery SET state = 'sending', attempts = attempts + 1, batch = ? WHERE id = ?").run(batch, id);
    });
  }

  settle(deliveries: readonly Delivery[], to: { readonly state: DeliveryState; readonly result: string; readonly atMs: number; readonly nextMs?: number }): void {
    inOneWrite(this.#database, () => {
      for (const { id, nextMs } of deliveries) this.#database.prepare('UPDATE delivery SET state = ?, result = ?, at_ms = ?, next_ms = ? WHERE id = ?').run(to.state, to.result, to.atMs, to.nextMs ?? nextMs, id);
    });
  }

  /** At the start: what was being sent when the server died is sent once more, with the same id, and not a third time. */
  recover(nowMs: number): void {
    inOneWrite(this.#database, () => {
      this.#database.prepare(`UPDATE delivery SET uncertain = uncertain + 1, state = 'waiting', next_ms = ? WHERE state = 'sending'`).run(nowMs);
      this.#database.prepare(`UPDATE delivery SET state = 'dead', result = 'the server died twice while sending it: it may have arrived', at_ms = ? WHERE state = 'waiting' AND uncertain >= ?`).run(nowMs, MAX_UNCERTAIN);
    });
  }

  /** How many deliveries are in this state, of whatever age. */
  count(state: DeliveryState): number {
    return (this.#database.prepare('SELECT count(*) AS n FROM delivery WHERE state = ?').get(state) as { n: number }).n;
  }

  hasAccepted(notice: string): boolean {
    return this.#database.prepare("SELECT 1 FROM delivery WHERE notice = ? AND state = 'accepted' LIMIT 1").get(notice) !== undefined;
  }

  /** Ms of the earliest deadline among a notice's deliveries; null where there are none. */
  firstDeadline(notice: string): number | null {
    return (this.#database.prepare('SELECT min(deadline_ms) AS ms FROM delivery WHERE notice = ?').get(notice) as { ms: number | null }).ms;
  }
}

function idOf({ notice, round, step, person, channel, target }: Pick<Delivery, 'notice' | 'round' | 'step' | 'person' | 'channel' | 'target'>): string {
  return createHash('sha256').update([notice, round, step, person, channel, target].join('\n')).digest('hex').slice(0, 32);
}

function toNotice({ id, site, alarm, raised_ms: raisedAtMs, body }: NoticeRow): Notice {
  const held = JSON.parse(body) as NoticeBody | { readonly seal: SealBody };
  return 'seal' in held ? { id, site, raisedAtMs, seal: held.seal } : { id, site, alarm, raisedAtMs, body: held };
}

function toDelivery({ digest, deadline_ms: deadlineMs, next_ms: nextMs, at_ms: atMs, ...rest }: DeliveryRow): Delivery {
  return { ...rest, digest: digest === 1, deadlineMs, nextMs, atMs };
}
