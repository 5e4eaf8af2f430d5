import { z } from 'zod';
import { QUALITY_REASONS, type Reading } from '../points/reading.ts';
import type { ChainLink } from './chain.ts';
import type { SequenceRanges } from './sequence-ranges.ts';

/** After a cut the newest readings go out at once on the live lane; what waited meanwhile follows beside them. */
export const LANES = ['live', 'backlog'] as const;
export type Lane = (typeof LANES)[number];

/** What waited longer than this before it was sent is history. */
export const LIVE_WITHIN_MS = 60_000;
/** Readings in one batch at most. */
export const MAX_BATCH = 2_000;
/** Ranges that a server keeps of one gateway at most: each cut during a backfill adds one. */
export const MAX_RANGES = 1_000;

/**
 * What a gateway hands to a server: all readings it still has above `after` up to `through`, in the order in which they were put on
 * disk. (gateway, epoch, sequence) names each one for good; the server's ranges move in the same transaction as the data, so a
 * repeated batch changes nothing. A batch without readings asks how far the server is, or says that a range holds nothing any more.
 */
export interface UplinkBatch {
  readonly site: string;
  readonly gateway: string;
  /** Made when the outbox was created; a new outbox counts from 1 again under a new epoch. */
  readonly epoch: string;
  readonly lane: Lane;
  readonly after: number;
  readonly through: number;
  /** The gateway's clock as it sent this: what a reading waited is counted on one clock, whoever's is off. */
  readonly sentAtMs: number;
  readonly readings: readonly SequencedReading[];
  /** The links whose last reading is in the range. */
  readonly links: readonly ChainLink[];
}

export interface SequencedReading extends Reading {
  readonly sequence: number;
  /** True for what was heard as history, such as a message a broker had retained: recorded, never judged live. */
  readonly backlog: boolean;
}

/** What is committed of this gateway and epoch. */
export interface UplinkAck {
  /** The highest sequence up to which nothing is missing. */
  readonly committed: number;
  readonly ranges: SequenceRanges;
  /** When the gateway's token ends; null or not there where it has none. */
  readonly tokenUntilMs?: number | null | undefined;
}

const count = z.int().min(0);
const name = z.string().min(1).max(64);
const reading = z.strictObject({
  sequence: count,
  owner: name,
  point: name,
  observedAtMs: z.int(),
  receivedAtMs: z.int(),
  value: z.number().nullable(),
  quality: z.enum(['good', 'uncertain', 'bad']),
  reason: z.enum(QUALITY_REASONS).nullable(),
  backlog: z.boolean(),
});

/** A batch as it comes over a network; the site is in the address. */
export const uplinkBatch = z
  .strictObject({
    gateway: name,
    epoch: name,
    lane: z.enum(LANES),
    after: count,
    through: count,
    sentAtMs: z.int(),
    readings: z.array(reading).max(MAX_BATCH),
    links: z.array(z.strictObject({ owner: name, through: count, receivedAtMs: z.int(), hash: z.string().regex(/^[0-9a-f]{64}$/) })).max(MAX_BATCH),
  })
  .refine(({ after, through }) => after <= through, 'expected after ≤ through')
  .refine(({ after, through, readings }) => readings.every(({ sequence }, at) => sequence > (readings[at - 1]?.sequence ?? after) && sequence <= through), 'expected sequences in order, above after and at most through')
  .refine(({ after, through, links }) => links.every((link) => link.through > after && link.through <= through), 'expected links above after and at most through');

export const uplinkAck = z.object({ committed: count, ranges: z.array(z.tuple([count, count]).readonly()).readonly(), tokenUntilMs: z.int().nullable().optional() });
