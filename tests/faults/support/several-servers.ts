import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { SiteEvaluator } from '../../../domain/site/site-evaluator.ts';
import type { SequencedReading, UplinkAck, UplinkBatch } from '../../../domain/wire/uplink.ts';
import { journalRows } from '../../../server/record/journal-rows.ts';
import type { Store } from '../../../server/record/store.ts';
import { type PotsideProcess, runPotside, startPotside } from '../../support/potside-process.ts';
import { PASSWORD } from '../../support/server.ts';
import { tempDir } from '../../support/temp-dir.ts';

export const SITE = 'pier-9';

/** A server process with a data directory of its own; started anew, it is the same server. */
export interface Member {
  process: PotsideProcess;
  start(): Promise<void>;
}

export interface Members {
  readonly all: readonly Member[];
  readonly token: string;
}

/** Server processes over one database, with one site of so many rigs; `more`: further flags of each, given its data directory. */
export async function startMembers(url: string, count: number, rigs: number, more: (dir: string) => readonly string[] = () => []): Promise<Members> {
  const dirs = Array.from({ length: count }, tempDir);
  const config = join(dirs[0] ?? '', 'site.yaml');
  writeFileSync(config, siteOf(rigs));
  const told = runPotside(['token', 'add', 'gate', '--role', 'gateway', '--data', dirs[0] ?? '', '--database', url]);
  if (told.code !== 0) throw new Error(told.err);
  const dana = runPotside(['user', 'add', 'dana', '--role', 'supervisor', '--password-stdin', '--data', dirs[0] ?? '', '--database', url], `${PASSWORD}\n`);
  if (dana.code !== 0) throw new Error(dana.err);
  const all: Member[] = [];
  for (const dir of dirs) {
    const flags = more(dir);
    const again = (): Promise<PotsideProcess> => startPotside('server', '--config', config, '--data', dir, '--database', url, '--port', '0', ...flags);
    const member: Member = { process: await again(), start: async () => void (member.process = await again()) };
    all.push(member);
  }
  return { all, token: told.out.trim() };
}

export const rigOf = (index: number): string => `rig-${index + 1}`;

/** Its `site.yaml`. */
export const siteOf = (rigs: number): string =>
  `site: { id: ${SITE}, name: Pier 9, zone: America/Chicago }\nrigs:\n${Array.from({ length: rigs }, (_, i) => `  - { id: ${rigOf(i)}, name: ${rigOf(i)} }\n`).join('')}`;

/** A gateway's uplink over the network: sends what is not acknowledged again, to whichever server answers. */
export class TestGateway {
  readonly #members: Members;
  readonly #sent: SequencedReading[] = [];
  readonly #chance: () => number;
  acknowledged = 0;
  failures = 0;

  constructor(members: Members, chance: () => number) {
    this.#members = members;
    this.#chance = chance;
  }

  take(rig: string, point: string, value: number, atMs = Date.now()): void {
    this.#sent.push({ owner: rig, point, value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog: false, sequence: this.#sent.length + 1 });
  }

  get sent(): readonly SequencedReading[] {
    return this.#sent;
  }

  /** One try to hand over what waits. */
  async tryOnce(): Promise<boolean> {
    const readings = this.#sent.slice(this.acknowledged, this.acknowledged + 50);
    const through = this.acknowledged + readings.length;
    const { site: _, ...batch } = { site: SITE, gateway: 'g1', epoch: 'e1', lane: 'live', after: this.acknowledged, through, sentAtMs: Date.now(), readings, links: [] } satisfies UplinkBatch;
    const { all, token } = this.#members;
    const to = all[Math.floor(this.#chance() * all.length)];
    try {
      const answer = await fetch(`${to?.process.ready.url}/api/uplink/${SITE}`, { method: 'POST', headers: { 'content-type': 'application/json', authorization: `Bearer ${token}` }, body: JSON.stringify(batch), signal: AbortSignal.timeout(2_000) });
      if (!answer.ok) throw new Error(await answer.text());
      this.acknowledged = Math.max(this.acknowledged, ((await answer.json()) as UplinkAck).committed);
      return true;
    } catch {
      this.failures += 1;
      return false;
    }
  }

  /** Until everything that was taken is acknowledged. */
  async drain(): Promise<void> {
    for (let tries = 0; this.acknowledged < this.#sent.length; tries += 1) {
      if (tries > 600) throw new Error(`only ${this.acknowledged} of ${this.#sent.length} readings were ever acknowledged`);
      if (!(await this.tryOnce())) await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
}

export interface Held {
  /** Sequences of the stored readings, in the order of the log. */
  readonly sequences: number[];
  /** Rigs on which `co-high` was raised, once for each time. */
  readonly raised: string[];
  /** Rows of the journal that a fold of the stored log does not give byte for byte, or gives besides. */
  readonly differing: string[];
  /** Stretches that nobody heard, ms. */
  readonly unheardMs: number[];
}

/** What the record holds, and whether it is what its own log says. */
export async function readHeld(store: Store): Promise<Held> {
  const evaluator = new SiteEvaluator(SITE);
  const [sequences, folded, unheardMs] = [[] as number[], new Map<string, string>(), [] as number[]];
  for await (const entry of store.readLog(SITE, 0)) {
    const effects = evaluator.apply(entry);
    if (entry.kind === 'batch') sequences.push(...entry.readings.map(({ sequence }) => sequence));
    if (entry.kind === 'unheard') unheardMs.push(entry.atMs - entry.fromMs);
    for (const { n, kind, owner, detail } of journalRows(entry, effects)) folded.set(`${entry.seq}-${n}`, JSON.stringify([kind, owner, detail]));
  }
  const journal = await store.journal(SITE, { limit: 100_000 });
  const kept = new Map(journal.map(({ seq, n, kind, owner, detail }) => [`${seq}-${n}`, JSON.stringify([kind, owner, detail])]));
  const raised = journal.flatMap(({ kind, owner, detail }) => (kind === 'alarm' && detail['name'] === 'co-high' && detail['what'] === 'raised' ? [owner ?? ''] : []));
  return { sequences, raised, differing: [...new Set([...folded.keys(), ...kept.keys()])].filter((key) => folded.get(key) !== kept.get(key)), unheardMs };
}
