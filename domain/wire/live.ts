import type { AlarmPriority, AlarmState } from '../alarms/alarm.ts';
import type { Quality, QualityReason } from '../points/reading.ts';

/**
 * What the server pushes to browsers over Socket.IO. Every message carries the server's `boot` and a `revision`; a client applies
 * revision n+1 only and asks for a `snapshot` on a gap: the library's own recovery is never relied on.
 * Times are Unix milliseconds of the server's log clock; values are in the unit named beside them (UCUM).
 */
export const LIVE_PROTOCOL = 1;

/** The nearest limit of a value and how far it is, in the point's unit; negative once past it. */
export interface Margin {
  readonly limit: number;
  readonly side: 'high' | 'low';
  readonly distance: number;
}

export interface LivePoint {
  /** Rig, compressor or site id. */
  readonly owner: string;
  readonly id: string;
  readonly value: number | null;
  readonly unit: string;
  readonly quality: Quality;
  readonly reason: QualityReason | null;
  /** When it was observed; null when never. */
  readonly atMs: number | null;
  readonly margin: Margin | null;
}

export interface LiveAlarm {
  readonly id: string;
  /** Rule name, e.g. `co-high`. */
  readonly name: string;
  readonly title: string;
  readonly site: string;
  /** The rig, or null for a compressor's or the site's. */
  readonly rig: string | null;
  readonly owner: string;
  readonly point: string;
  readonly priority: AlarmPriority;
  readonly state: AlarmState;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  /** Value and limit that raised it, in `unit`; null for a state. */
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  readonly cause: string;
  readonly consequence: string;
  readonly response: string;
  readonly respondWithin: string;
}

export interface LiveRig {
  readonly id: string;
  readonly name: string;
  readonly site: string;
  readonly compressor: string | null;
  /** Rated pressure of the vessel, psi gauge. */
  readonly vesselRating: number | null;
  /** Wanted nozzle pressure, psi gauge. */
  readonly wanted: readonly [low: number, high: number] | null;
  /** As people say it: `3/8 in nozzle, 100 ft of 1 1/4 in hose`. */
  readonly built: string;
  readonly shift: LiveShift | null;
}

export interface LiveShift {
  readonly id: string;
  readonly rig: string;
  readonly startedAtMs: number;
  readonly startedBy: string;
}

export interface LiveSite {
  readonly id: string;
  readonly name: string;
  /** IANA time zone. */
  readonly zone: string;
  readonly compressors: readonly { readonly id: string; readonly name: string; readonly serves: readonly string[] }[];
  readonly rigs: readonly LiveRig[];
  /** True in the demo and in replays; every screen must say so. */
  readonly demo: boolean;
  /** False when the record refuses to be written: a permanent banner. */
  readonly recording: boolean;
  /** Last sign of life of the gateway, or null. */
  readonly gatewayAtMs: number | null;
}

interface Revised {
  readonly boot: string;
  readonly revision: number;
  readonly serverNowMs: number;
}

export interface LiveSnapshot extends Revised {
  readonly protocol: number;
  readonly sites: readonly LiveSite[];
  readonly points: readonly LivePoint[];
  readonly alarms: readonly LiveAlarm[];
}

/** Changed points, at most four times a second; empty ones are the heartbeat, at least once a second. */
export interface LiveUpdate extends Revised {
  readonly points: readonly LivePoint[];
}

/** All alarms of one site that stand now, at once when any changes; `changed` are the ids this push is about. */
export interface LiveAlarms extends Revised {
  readonly site: string;
  readonly alarms: readonly LiveAlarm[];
  readonly changed: readonly string[];
}

/** The sites' description changed (setup, shift, recording). */
export interface LiveSites extends Revised {
  readonly sites: readonly LiveSite[];
}

export interface ServerToBrowser {
  snapshot: (snapshot: LiveSnapshot) => void;
  live: (update: LiveUpdate) => void;
  alarms: (alarms: LiveAlarms) => void;
  sites: (sites: LiveSites) => void;
}

export interface BrowserToServer {
  /** Asks for a snapshot; the answer is the event `snapshot`. */
  resync: () => void;
}
