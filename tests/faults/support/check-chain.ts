import { join } from 'node:path';
import type { SequencedReading } from '../../../domain/wire/uplink.ts';
import { nextHash, startHash } from '../../../host/chain-hash.ts';
import { openSqlite, type Sqlite } from '../../../host/open-sqlite.ts';

interface LinkRow {
  readonly gateway: string;
  readonly epoch: string;
  readonly owner: string;
  readonly through: number;
  readonly hash: string;
}

/**
 * Recomputes a gateway's chains from the readings of the record and names each link that does not hold. Where the gateway has handed
 * over all it ever took, each reading must be covered by a link.
 */
export function checkChain(serverDir: string, gatewayDir: string): string[] {
  const record = openSqlite(join(serverDir, 'record.db'));
  const links = record.prepare('SELECT gateway, epoch, owner, through, lower(hex(hash)) AS hash FROM chain_link JOIN chain ON chain.id = chain_link.chain ORDER BY chain, through').all() as LinkRow[];
  const rows = record.prepare('SELECT owner, point, observed_ms AS observedAtMs, received_ms AS receivedAtMs, value, quality, reason, sequence FROM reading JOIN series ON series.id = reading.series ORDER BY sequence').all() as SequencedReading[];
  record.close();
  const isWhole = rows.at(-1)?.sequence === newestSequence(gatewayDir);
  return [...new Set(rows.map(({ owner }) => owner))].flatMap((owner) => {
    const own = rows.filter((row) => row.owner === owner);
    const chain = links.filter((link) => link.owner === owner);
    const uncovered = own.filter(({ sequence }) => sequence > (chain.at(-1)?.through ?? 0)).length;
    return [...brokenLinks(owner, chain, own), ...(isWhole && uncovered > 0 ? [`${owner}: ${uncovered} readings without a link`] : [])];
  });
}

function brokenLinks(owner: string, chain: readonly LinkRow[], rows: readonly SequencedReading[]): string[] {
  const [first] = chain;
  if (!first) return [`${owner}: no link`];
  let [hash, after] = [startHash(first.gateway, first.epoch, owner), 0];
  return chain.flatMap((link) => {
    const computed = nextHash(hash, rows.filter(({ sequence }) => sequence > after && sequence <= link.through));
    [hash, after] = [link.hash, link.through];
    return computed === link.hash ? [] : [`${owner}: the link at ${link.through}`];
  });
}

function newestSequence(gatewayDir: string): number {
  const outbox: Sqlite = openSqlite(join(gatewayDir, 'outbox.db'));
  const { seq } = outbox.prepare("SELECT seq FROM sqlite_sequence WHERE name = 'reading'").get() as { seq: number };
  outbox.close();
  return seq;
}
