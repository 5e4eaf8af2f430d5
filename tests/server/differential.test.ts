import { join } from 'node:path';
import { randomUUID } from 'node:crypto';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action, LogEntry } from '../../domain/site/log.ts';
import type { UplinkBatch } from '../../domain/wire/uplink.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { type Clock, SettableClock } from '../../host/clock.ts';
import type { Sql } from '../../host/sql.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import type { Site } from '../../server/intake/site.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import type { SharedSite } from '../../server/peers/shared-site.ts';
import { SharedSites } from '../../server/peers/shared-sites.ts';
import { openPostgresStore } from '../../server/record/postgres/open.ts';
import { refuse } from '../../server/record/sqlite-store.ts';
import type { Store } from '../../server/record/store.ts';
import { createSimulation } from '../../simulator/simulation.ts';
import { collect } from '../support/collect.ts';
import { POSTGRES_BIN } from '../support/postgres.ts';
import { QUIET, until } from '../support/quiet.ts';
import { seeded } from '../support/seeded.ts';
import { batch } from '../support/server.ts';
import { databaseAt, openStoreAt, postgres } from '../support/stores.ts';
import { tempDir } from '../support/temp-dir.ts';

const START_MS = Date.UTC(2026, 5, 1, 12);
const SECONDS = 240;
const PATIENCE = 60_000;

/** What happens at one second of the shift: readings, and what somebody does. */
interface Moment {
  readonly atMs: number;
  readonly batch: UplinkBatch;
  readonly action: Action | null;
}

/** A short shift in which somebody's air goes bad, the same each time. */
function shift(): { config: SiteConfig; moments: Moment[] } {
  const simulation = createSimulation({ scenario: 'co-wind', seed: 7, rigs: 2, startAtMs: START_MS, liveFromMs: START_MS });
  const config = parseSiteYaml(simulation.siteYaml, 'site.yaml');
  const topics = new TopicMap(config);
  const rig = config.rigs[0]?.id ?? '';
  const acts = new Map<number, object>([
    [2, { kind: 'start-shift' }],
    [5, { kind: 'hood-in', name: 'Ray' }],
    [90, { kind: 'entry', entry: 'needle', value: 92, place: 'nozzle', text: '' }],
    [200, { kind: 'hood-out', name: 'Ray' }],
  ]);
  let sequence = 0;
  const moments = Array.from({ length: SECONDS }, (_, index): Moment => {
    const atMs = START_MS + (index + 1) * 1_000;
    const readings = simulation.advanceTo(atMs).flatMap(({ topic, payload, atMs: sentMs }) => takeIn(topics, { topic, payload: Buffer.from(payload), retained: false }, sentMs).readings);
    const act = acts.get(index);
    return {
      atMs,
      batch: { ...batch(readings.map((reading) => ({ ...reading, sequence: (sequence += 1) })), atMs), site: config.site.id },
      action: act ? ({ by: 'dana', role: 'supervisor', from: 'test', key: `key-${index}-0123456789`, rig, ...act } as Action) : null,
    };
  });
  return { config, moments };
}

/** Everything the record says of the site. What nobody heard while a busy machine stood still is no part of the shift: left out, and the rest counted anew. */
async function told(store: Store, site: string): Promise<unknown> {
  const entries: LogEntry[] = await collect(store.readLog(site, 0));
  const unheard = entries.filter(({ kind }) => kind === 'unheard').map(({ seq }) => seq);
  const renumbered = (seq: number): number => seq - unheard.filter((one) => one < seq).length;
  const points = await store.recordedPoints(site);
  return {
    log: entries.flatMap((entry) => (entry.kind === 'unheard' ? [] : [{ ...entry, seq: renumbered(entry.seq) }])),
    journal: (await store.journal(site, { limit: 10_000 })).flatMap((item) => (item.kind === 'unheard' ? [] : [{ ...item, seq: renumbered(item.seq) }])),
    rows: await Promise.all(points.toSorted((a, b) => (`${a.owner}/${a.point}` < `${b.owner}/${b.point}` ? -1 : 1)).map(async ({ owner, point }) => ({ owner, point, rows: await collect(store.rows(site, owner, point, 0, START_MS * 2)) }))),
    shifts: await store.shiftRecord.list({ sites: [site], limit: 50 }),
    cursors: await store.cursors(site),
  };
}

/** Until what falls due at the start itself is written, as a tick of its own. */
async function settled(site: Site, clock: Clock): Promise<void> {
  await until(() => site.state.nextDueAtMs > clock.nowMs(), 'the first tick', PATIENCE);
}

async function play(moments: readonly Moment[], clock: SettableClock, site: () => Site): Promise<void> {
  for (const { atMs, batch: readings, action } of moments) {
    clock.set(atMs);
    await site().take(readings);
    if (action) await site().act(action);
  }
}

/** A clock that can be put back: while a site has no server, nothing may fall due. */
class HeldClock implements Clock {
  #atMs: number;

  constructor(atMs: number) {
    this.#atMs = atMs;
  }

  nowMs(): number {
    return this.#atMs;
  }

  wallDriftMs(): null {
    return null;
  }

  set(atMs: number): void {
    this.#atMs = atMs;
  }
}

interface Member {
  readonly store: Store;
  readonly sql: Sql;
  readonly sites: SharedSites;
  readonly site: SharedSite;
  isDead: boolean;
}

async function joinIn(url: string, config: SiteConfig, clock: Clock): Promise<Member> {
  const { store, sql } = await openPostgresStore(url, refuse);
  if (!store.leases) throw new Error('no leases');
  await store.leases.begin(randomUUID());
  const sites = new SharedSites({ leases: store.leases, log: QUIET, onOurs: () => Promise.resolve() });
  const site = await sites.open(config, { store, clock, log: QUIET, onCommitted: () => undefined, onRead: () => undefined });
  await sites.start();
  const member: Member = { store, sql, sites, site, isDead: false };
  onTestFinished(async () => {
    await sites.stop();
    if (!member.isDead) await store.close();
  });
  return member;
}

describe.skipIf(POSTGRES_BIN === null)('the same shift', () => {
  it('is the same record and journal in SQLite, in PostgreSQL, and with three servers of which whoever has the site is killed again and again', async () => {
    const { config, moments } = shift();
    const answers: unknown[] = [];
    for (const kind of ['SQLite', 'PostgreSQL'] as const) {
      const clock = new SettableClock(START_MS);
      const { store } = await openStoreAt(kind, join(tempDir(), 'record.db'));
      const writer = await SiteWriter.open({ siteId: config.site.id, store, clock, log: QUIET, onCommitted: () => undefined });
      await writer.configure(config);
      await settled(writer, clock);
      await play(moments, clock, () => writer);
      answers.push(await told(store, config.site.id));
      await writer.stop();
      await store.close();
    }

    const url = await databaseAt('three servers');
    const clock = new HeldClock(START_MS);
    const members = [await joinIn(url, config, clock), await joinIn(url, config, clock), await joinIn(url, config, clock)];
    await until(() => members.some(({ site }) => site.isOurs), 'somebody to have the site', PATIENCE);
    for (const { site } of members) if (site.isOurs) await settled(site, clock);
    const living = (): Member[] => members.filter(({ isDead }) => !isDead);
    const owner = (): Member | undefined => living().find(({ site }) => site.isOurs);
    const server = await postgres();
    const chance = seeded(11);
    const deathsAt = new Set(Array.from({ length: 4 }, (_, i) => 20 + i * 55 + Math.floor(chance() * 40)));
    let deaths = 0;
    /** As a gateway, or somebody at a screen, who asks again until it is answered. Time stands still meanwhile: nothing falls due between. */
    const insist = async (atMs: number, ask: (site: Site) => Promise<unknown>): Promise<void> => {
      for (let tries = 0; ; tries += 1) {
        await until(() => owner() !== undefined, 'somebody to have the site', PATIENCE);
        const site = owner()?.site;
        clock.set(atMs);
        if (site && (await ask(site).then(() => true, () => false))) return;
        clock.set(atMs - 1_000);
        if (tries > 200) throw new Error('it was never taken');
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    };
    for (const [index, { atMs, batch: readings, action }] of moments.entries()) {
      const victim = owner();
      if (deathsAt.has(index) && victim) {
        deaths += 1;
        // In the middle of its commit: all sessions are cut, it hears of nothing any more, and its lease runs out.
        clock.set(atMs);
        victim.site.take(readings).catch(() => undefined);
        for (let turns = 1 + Math.floor(chance() * 12); turns > 0; turns -= 1) await new Promise((resolve) => setImmediate(resolve));
        victim.isDead = true;
        clock.set(atMs - 1_000);
        const closed = victim.store.close();
        await server.ask("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'potside'");
        await closed.catch(() => undefined);
        await living()[0]?.sql.run('UPDATE server SET until_ms = 0 WHERE id = (SELECT server FROM lease WHERE site = ?)', config.site.id);
        members.push(await joinIn(url, config, clock));
      }
      await insist(atMs, (site) => site.take(readings));
      if (action) await insist(atMs, (site) => site.act(action));
    }
    const [first] = living();
    if (!first) throw new Error('nobody lives');
    answers.push(await told(first.store, config.site.id));
    expect(deaths).toBe(4);
    const [sqlite, one, three] = answers;
    expect((sqlite as { journal: unknown[] }).journal.length).toBeGreaterThan(3);
    expect(one).toEqual(sqlite);
    expect(three).toEqual(sqlite);
    // Who only read along holds the same state.
    const seq = owner()?.site.state.seq ?? 0;
    await until(() => living().every(({ site }) => site.state.seq === seq), 'all to have read on', PATIENCE);
    const [mine, ...others] = living().map(({ site }) => JSON.stringify(site.state.save()));
    for (const other of others) expect(other).toBe(mine);
  }, 240_000);
});
