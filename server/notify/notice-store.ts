import { createHash } from 'node:crypto';
import type { Sql } from '../../host/sql.ts';
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
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  /** Within the commit of the site's writer. */
  async add(notice: Notice): Promise<void> {
    const { id, site, raisedAtMs } = notice;
    const [about, body] = 'seal' in notice ? [notice.seal.shift, { seal: notice.seal }] : [notice.alarm, notice.body];
    await this.#sql.run('INSERT INTO notice (id, site, alarm, raised_ms, body) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING', id, site, about, raisedAtMs, JSON.stringify(body));
  }

  async open(): Promise<OpenNotice[]> {
    return (await this.#sql.all<NoticeRow>('SELECT * FROM notice WHERE ended_ms IS NULL ORDER BY raised_ms')).map((row) => ({ ...toNotice(row), round: row.round, nextStep: row.next_step }));
  }

  async find(id: string): Promise<PastNotice | null> {
    const row = await this.#sql.get<NoticeRow>('SELECT * FROM notice WHERE id = ?', id);
    return row ? { ...toNotice(row), endedAtMs: row.ended_ms, endedWhy: row.ended_why } : null;
  }

  async latest(site: string, limit: number): Promise<PastNotice[]> {
    const rows = await this.#sql.all<NoticeRow>('SELECT * FROM notice WHERE site = ? ORDER BY raised_ms DESC LIMIT ?', site, limit);
    return rows.map((row) => ({ ...toNotice(row), endedAtMs: row.ended_ms, endedWhy: row.ended_why }));
  }

  async deliveries(notice: string): Promise<Delivery[]> {
    return (await this.#sql.all<DeliveryRow>('SELECT * FROM delivery WHERE notice = ? ORDER BY round, step, channel, id', notice)).map(toDelivery);
  }

  /** What is to be sent now for these sites, longest due first. */
  async due(nowMs: number, sites: readonly string[]): Promise<Delivery[]> {
    if (sites.length === 0) return [];
    const ofSites = `notice IN (SELECT id FROM notice WHERE site IN (${sites.map(() => '?').join(', ')}))`;
    return (await this.#sql.all<DeliveryRow>(`SELECT * FROM delivery WHERE state = 'waiting' AND next_ms <= ? AND ${ofSites} ORDER BY next_ms, id LIMIT 500`, nowMs, ...sites)).map(toDelivery);
  }

  /** Puts a step's deliveries in and moves the notice on, both or neither. Done twice it does nothing. */
  async expand(notice: OpenNotice, deliveries: readonly Omit<Delivery, 'id' | 'attempts' | 'uncertain' | 'batch' | 'result' | 'atMs'>[], next: { readonly round: number; readonly nextStep: number }): Promise<void> {
    await this.#sql.transaction(async () => {
      for (const d of deliveries) {
        await this.#sql.run(
          'INSERT INTO delivery (id, notice, round, step, person, channel, target, digest, deadline_ms, next_ms, state) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING',
          idOf(d), d.notice, d.round, d.step, d.person, d.channel, d.target, d.digest ? 1 : 0, d.deadlineMs, d.nextMs, d.state,
        );
      }
      await this.#sql.run('UPDATE notice SET round = ?, next_step = ? WHERE id = ?', next.round, next.nextStep, notice.id);
    });
  }

  /** `also` is written with it, both or neither. */
  async end(notice: string, atMs: number, why: string, also: () => Promise<void> = () => Promise.resolve()): Promise<void> {
    await this.#sql.transaction(async () => {
      await this.#sql.run('UPDATE notice SET ended_ms = ?, ended_why = ? WHERE id = ? AND ended_ms IS NULL', atMs, why, notice);
      await this.#sql.run("UPDATE delivery SET state = 'cancelled', result = ?, at_ms = ? WHERE notice = ? AND state = 'waiting'", why, atMs, notice);
      await also();
    });
  }

  /** Before the message leaves: a server that dies now must know at its next start that it may have left. */
  async sending(deliveries: readonly Delivery[], batch: string | null): Promise<void> {
    await this.#sql.transaction(async () => {
      for (const { id } of deliveries) await this.#sql.run("UPDATE delivery SET state = 'sending', attempts = attempts + 1, batch = ? WHERE id = ?", batch, id);
    });
  }

  async settle(deliveries: readonly Delivery[], to: { readonly state: DeliveryState; readonly result: string; readonly atMs: number; readonly nextMs?: number }): Promise<void> {
    await this.#sql.transaction(async () => {
      for (const { id, nextMs } of deliveries) await this.#sql.run('UPDATE delivery SET state = ?, result = ?, at_ms = ?, next_ms = ? WHERE id = ?', to.state, to.result, to.atMs, to.nextMs ?? nextMs, id);
    });
  }

  /** When a site becomes ours: what was being sent for it when its server died is sent once more, with the same id, and not a third time. */
  async recover(nowMs: number, site: string): Promise<void> {
    const ofSite = 'notice IN (SELECT id FROM notice WHERE site = ?)';
    await this.#sql.transaction(async () => {
      await this.#sql.run(`UPDATE delivery SET uncertain = uncertain + 1, state = 'waiting', next_ms = ? WHERE state = 'sending' AND ${ofSite}`, nowMs, site);
      await this.#sql.run(`UPDATE delivery SET state = 'dead', result = 'the server died twice while sending it: it may have arrived', at_ms = ? WHERE state = 'waiting' AND uncertain >= ? AND ${ofSite}`, nowMs, MAX_UNCERTAIN, site);
    });
  }

  /** How many deliveries are in this state, of whatever age. */
  async count(state: DeliveryState): Promise<number> {
    return (await this.#sql.get<{ n: number }>('SELECT count(*) AS n FROM delivery WHERE state = ?', state))?.n ?? 0;
  }

  async hasAccepted(notice: string): Promise<boolean> {
    return (await this.#sql.get("SELECT 1 FROM delivery WHERE notice = ? AND state = 'accepted' LIMIT 1", notice)) !== undefined;
  }

  /** Ms of the earliest deadline among a notice's deliveries; null where there are none. */
  async firstDeadline(notice: string): Promise<number | null> {
    return (await this.#sql.get<{ ms: number | null }>('SELECT min(deadline_ms) AS ms FROM delivery WHERE notice = ?', notice))?.ms ?? null;
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
