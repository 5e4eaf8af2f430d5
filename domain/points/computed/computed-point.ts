import type { QualityReason } from '../reading.ts';

/** How what owns the points is built, as far as computed points need it; SI, gauge Pa, bearings in rad. */
export interface OwnerSetup {
  /** Metres above sea level. */
  readonly elevation: number;
  readonly hose: { readonly bore: number; readonly length: number } | null;
  readonly nozzle: { readonly bore: number } | null;
  /** Of a compressor, m³/s of free air. */
  readonly ratedFlow: number | null;
  /** Of a compressor's intake, seen from the blasting. */
  readonly intakeBearing: number | null;
}

/** What a computation sees. Values are in SI: gauge Pa, K, fraction, rad; states are 0 or 1. */
export interface Sight {
  readonly atMs: number;
  readonly setup: OwnerSetup;
  /** The value of an input that the way needs. */
  value(id: string): number;
  /** The value of an input that it can do without; null where there is none to rely on. */
  optional(id: string): number | null;
  /** What this point remembered last time; undefined at first. Plain data: it goes into snapshots. */
  readonly memory: unknown;
  /** What another computed point of the same owner remembers. */
  memoryOf(id: string): unknown;
}

/** A result in SI, or why there is none; and what to remember, where that changed. */
export type Computed = ({ readonly si: number } | { readonly reason: QualityReason }) & { readonly memory?: unknown };

/** One way to compute a point: it is taken when all its inputs have a value to rely on. */
export interface Way {
  readonly needs: readonly string[];
  readonly compute: (sight: Sight) => Computed;
}

/** A computed point: the first way whose inputs are there is used; its quality is that of its worst input. */
export interface ComputedPoint {
  readonly id: string;
  readonly ways: readonly Way[];
}
