import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import { type Answer, callApi } from './call-api.ts';
import type { Quantity } from './shift-shapes.ts';
import { shiftPath } from './shifts.ts';

/** What a shift comes to, as the server sums it up. Shares are 0 to 1, instants RFC 3339. */
export interface ShiftSummary {
  readonly from: string;
  readonly to: string;
  readonly coverage: readonly Coverage[];
  readonly work: { readonly blasting: Quantity; readonly cycles: Quantity; readonly cyclesFrom: string; readonly longestBurst: Quantity } | null;
  readonly nozzle: NozzlePressure | null;
  readonly people: readonly Person[];
  readonly coMax: Quantity | null;
  readonly moisture: readonly ShiftCondition[];
  readonly climate: readonly ShiftCondition[];
  readonly wear: Wear;
  readonly used: Used;
  readonly alarms: SummaryAlarms;
  readonly assumptions: readonly string[];
}

export interface TimeSpan {
  readonly from: string;
  readonly to: string;
}

export interface Coverage {
  readonly owner: string;
  readonly point: string;
  readonly fraction: number;
  readonly gaps: readonly (TimeSpan & { readonly cause: string })[];
}

export interface NozzlePressure {
  readonly lowest: Quantity;
  readonly p5: Quantity;
  readonly median: Quantity;
  readonly mean: Quantity;
  readonly p95: Quantity;
  readonly highest: Quantity;
  /** psi, gauge. */
  readonly distribution: readonly { readonly from: number; readonly to: number; readonly share: number }[];
  /** psi, gauge, and shares of the time under flow. */
  readonly wanted: { readonly low: number; readonly high: number; readonly inBand: number; readonly below: number; readonly above: number } | null;
  readonly lostProduction: number;
  readonly reference: Quantity;
}

export interface Person {
  readonly name: string;
  readonly underHood: readonly TimeSpan[];
  readonly time: Quantity;
  readonly measured: number;
  readonly highest: Quantity | null;
  readonly highest5min: Quantity | null;
  readonly highest15min: Quantity | null;
  readonly average8h: Quantity | null;
  readonly average8hAtLeast: Quantity | null;
  readonly average8hAtMost: Quantity | null;
  readonly carboxyhaemoglobin: Quantity;
}

export interface ShiftCondition {
  readonly point: string;
  readonly says: string;
  readonly limit: Quantity;
  readonly met: Quantity;
  readonly missed: Quantity;
  readonly unknown: Quantity;
  readonly worst: Quantity | null;
  readonly windows: readonly TimeSpan[];
  readonly source: string;
}

export interface Wear {
  readonly start: Quantity | null;
  readonly end: Quantity | null;
  readonly estimate: { readonly value: number; readonly low: number; readonly high: number; readonly unit: string } | null;
  readonly limit: Quantity;
  readonly isChanged: boolean;
}

export interface Used {
  readonly air: Quantity | null;
  readonly abrasiveEstimate: { readonly low: number; readonly high: number; readonly unit: string } | null;
  readonly filled: Quantity | null;
  readonly fillings: number;
  readonly lots: readonly string[];
  readonly area: Quantity | null;
  readonly stops: readonly { readonly reason: string; readonly time: Quantity; readonly count: number }[];
}

export interface SummaryAlarm {
  readonly id: string;
  readonly name: string;
  readonly title: string;
  readonly owner: string;
  readonly priority: AlarmPriority;
  readonly raisedAt: string;
  /** Raised before the shift began, and still standing then. */
  readonly stoodBefore: boolean;
  readonly clearedAt: string | null;
  readonly acknowledgedAt: string | null;
  readonly acknowledgedBy: string | null;
  readonly outConfirmedAt: string | null;
  readonly audible: boolean;
}

export interface SummaryAlarms {
  readonly occurrences: readonly SummaryAlarm[];
  readonly audible: number;
  readonly byPriority: Readonly<Record<AlarmPriority, number>>;
  readonly response: { readonly medianToAcknowledge: Quantity | null; readonly slowestToAcknowledge: Quantity | null; readonly slowestToOut: Quantity | null; readonly neverAcknowledged: number };
}

/** All readings of a shift are gone through. */
const TIMEOUT_MS = 60_000;

export function readSummary(shift: string): Promise<Answer<ShiftSummary>> {
  return callApi<ShiftSummary>(shiftPath(shift, 'summary'), { timeoutMs: TIMEOUT_MS });
}
