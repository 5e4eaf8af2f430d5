import type { KeptLink } from '../../domain/wire/chain.ts';
import { addRange, contiguousThrough, countOf, covers } from '../../domain/wire/sequence-ranges.ts';
import type { UplinkAck, UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Cursor } from '../record/store.ts';

/** What is committed of each gateway, and which of that has moved since it was last on the disk. */
export class GatewayCursors {
  readonly #byOrigin: Map<string, Cursor>;
  readonly #moved = new Set<string>();
  #links: KeptLink[] = [];

  constructor(onDisk: readonly Cursor[] = []) {
    this.#byOrigin = new Map(onDisk.map((cursor) => [originOf(cursor), cursor]));
  }

  /** The readings of a batch that are not there yet. */
  fresh(batch: UplinkBatch): UplinkBatch['readings'] {
    const known = this.#byOrigin.get(originOf(batch))?.ranges ?? [];
    return batch.readings.filter(({ sequence }) => !covers(known, sequence));
  }

  /** Moves over a batch of which `taken` readings were new; answers with how many of its range the gateway no longer had. */
  advance(batch: UplinkBatch, taken: number): number {
    const origin = originOf(batch);
    const known = this.#byOrigin.get(origin) ?? { gateway: batch.gateway, epoch: batch.epoch, ranges: [], missing: 0 };
    for (const link of batch.links) if (!covers(known.ranges, link.through)) this.#links.push({ gateway: batch.gateway, epoch: batch.epoch, ...link });
    const ranges = addRange(known.ranges, [batch.after, batch.through]);
    const gained = countOf(ranges) - countOf(known.ranges);
    if (gained === 0) return 0;
    // What a gateway had given away before this server heard of it is not missing here.
    const before = batch.after === 0 && contiguousThrough(known.ranges) === 0 ? (batch.readings[0]?.sequence ?? batch.through + 1) - 1 : 0;
    const missing = Math.max(0, gained - taken - before);
    this.#byOrigin.set(origin, { ...known, ranges, missing: known.missing + missing });
    this.#moved.add(origin);
    return missing;
  }

  ackFor(batch: UplinkBatch): UplinkAck {
    const ranges = this.#byOrigin.get(originOf(batch))?.ranges ?? [];
    return { committed: contiguousThrough(ranges), ranges };
  }

  all(): Cursor[] {
    return [...this.#byOrigin.values()];
  }

  /** What the next commit has to write. */
  moved(): Cursor[] {
    return [...this.#moved].flatMap((origin) => this.#byOrigin.get(origin) ?? []);
  }

  /** Links of the chains that the next commit has to write. */
  links(): readonly KeptLink[] {
    return this.#links;
  }

  markCommitted(): void {
    this.#moved.clear();
    this.#links = [];
  }
}

/** `<gateway>/<epoch>`: whose outbox a reading came from. */
export function originOf({ gateway, epoch }: { readonly gateway: string; readonly epoch: string }): string {
  return `${gateway}/${epoch}`;
}
