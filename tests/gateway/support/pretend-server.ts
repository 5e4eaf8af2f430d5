import { addRange, contiguousThrough, covers, type SequenceRanges } from '../../../domain/wire/sequence-ranges.ts';
import type { SequencedReading, UplinkAck, UplinkBatch } from '../../../domain/wire/uplink.ts';

/** The far end of an uplink, in memory: keeps what is new to it, fails while `failing`, and remembers every batch with readings. */
export class PretendServer {
  readonly batches: UplinkBatch[] = [];
  readonly readings: SequencedReading[] = [];
  failing = false;
  tries = 0;
  ranges: SequenceRanges = [];

  readonly deliver = async (batch: UplinkBatch): Promise<UplinkAck> => {
    this.tries += 1;
    await new Promise((resolve) => setImmediate(resolve));
    if (this.failing) throw new Error('not now');
    if (batch.readings.length > 0) this.batches.push(batch);
    this.readings.push(...batch.readings.filter(({ sequence }) => !covers(this.ranges, sequence)));
    this.ranges = addRange(this.ranges, [batch.after, batch.through]);
    return { committed: contiguousThrough(this.ranges), ranges: this.ranges };
  };
}
