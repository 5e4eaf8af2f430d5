import type { AlarmPriority, AlarmState } from '../alarms/alarm.ts';
import type { Quality, QualityReason } from '../points/reading.ts';
import type { Language } from '../shift/language.ts';

/**
 * What the server pushes to browsers over Socket.IO. Every message carries the server's `boot` and a `revision`; a client applies
 * revision n+1 only and asks for a `snapshot` on a gap: the library's own recovery is never relied on.
 * Times are Unix milliseconds of the server's log clock; values are in the unit named beside them (UCUM).
 */
export const LIVE_PROTOCOL = 2;

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
  /** All limits its alarms judge it by, in `unit`; `margin` is of the nearest. */
  readonly limits: readonly Pick<Margin, 'limit' | 'side'>[];
}

/** Why an alarm that was set aside does not sound, and until when. */
export interface LiveSetAside {
  /** Unix ms at which it returns by itself. */
  readonly untilMs: number;
  readonly by: string;
  /** One of the reasons offered, e.g. `sensor-faulty`. */
  readonly reason: string;
  readonly text: string;
  /** Who agreed to it; null for shelving, which needs no second person. */
  readonly approvedBy: string | null;
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
  /** Shelved, suppressed and out-of-service alarms are in the list too; they do not sound. */
  readonly state: AlarmState;
  /** Two patterns only: CO and loss of air, and all others; `none` for low priority and for what is set aside. */
  readonly sound: 'air' | 'other' | 'none';
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  /** False until somebody at the rig took it: an acknowledgement from elsewhere does not silence the rig. */
  readonly silencedAtRig: boolean;
  readonly silencedAtRigBy: string | null;
  /** CO and loss of air: after the acknowledgement the alarm waits for *blaster out and accounted for*. */
  readonly out: 'not-needed' | 'awaited' | 'confirmed';
  readonly outConfirmedAtMs: number | null;
  readonly outConfirmedBy: string | null;
  readonly latched: boolean;
  readonly shelved: LiveSetAside | null;
  readonly outOfService: LiveSetAside | null;
  /** Why the design suppresses it now, in words; null where it does not. */
  readonly suppressedBecause: string | null;
  /** The lowest role that may shelve it; null where nobody may. */
  readonly shelvableBy: 'supervisor' | 'safety-officer' | null;
  /** Id of the alarm that leads its group (its cause, else the first one out); null when it stands alone. */
  readonly group: string | null;
  /** The first of its group in time. */
  readonly firstOut: boolean;
  /** Place in its group by time, from 1; null when it stands alone. */
  readonly order: number | null;
  /** Ms after the first of its group; null when it stands alone. */
  readonly offsetMs: number | null;
  /** Never folded away under a group or in a flood: CO and loss of air. */
  readonly alwaysShown: boolean;
  /** Three or more activations in 60 s. */
  readonly chattering: boolean;
  /** Raised on a training site: practised, not happening. */
  readonly drill: boolean;
  /** Value and limit that raised it, in `unit`; null for a state. */
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  readonly cause: string;
  readonly consequence: string;
  readonly response: string;
  readonly respondWithin: string;
  /** Where the limit comes from: a standard, or `common practice, no source`. */
  readonly limitSource: string;
}

/** More alarms than anybody reads: from its start to its end the list is shown in groups. */
export interface LiveFlood {
  readonly sinceMs: number;
  /** Alarms raised within the last `windowMs`. */
  readonly count: number;
  readonly windowMs: number;
}

/** Somebody logged as breathing from a rig's panel. */
export interface LiveUnderHood {
  readonly name: string;
  readonly sinceMs: number;
}

/** A reading of the needle gauge behind the nozzle, and what the line showed at that moment; psi. */
export interface LiveNeedle {
  readonly atMs: number;
  readonly nozzle: number;
  readonly supply: number | null;
  /** Loss beyond the expected from blast machine to nozzle, and from compressor to blast machine; null where it was not measured. */
  readonly residual: number | null;
  readonly supplyLoss: number | null;
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
  /** The same in numbers, as it is now: what the page computes with. SI. */
  readonly line: { readonly elevation: number; readonly hose: { readonly bore: number; readonly length: number } | null; readonly nozzle: { readonly bore: number } | null };
  /** Last needle reading of this shift and setup. */
  readonly needle: LiveNeedle | null;
  readonly shift: LiveShift | null;
  readonly underHood: readonly LiveUnderHood[];
  /** A bump test runs until then: CO is not announced on this rig; null otherwise. */
  readonly bumpTestUntilMs: number | null;
}

export interface LiveShift {
  readonly id: string;
  readonly rig: string;
  readonly startedAtMs: number;
  readonly startedBy: string;
}

/** A drill under way on a training site. */
export interface LiveDrill {
  readonly scenario: string;
  readonly startedAtMs: number;
  readonly startedBy: string;
}

export interface LiveSite {
  readonly id: string;
  readonly name: string;
  /** IANA time zone. */
  readonly zone: string;
  /** Of messages to who chose none, and of what is sealed; absent from servers of before there was a choice. */
  readonly language?: Language;
  readonly compressors: readonly { readonly id: string; readonly name: string; readonly serves: readonly string[] }[];
  readonly rigs: readonly LiveRig[];
  /** True in the demo; every screen must say so. */
  readonly demo: boolean;
  /** A site for practice: nothing on it is real; every screen must say so. */
  readonly training: boolean;
  readonly drill: LiveDrill | null;
  /** The recorded shift that is played again; null where readings are of now. Every screen must say so. */
  readonly replay: string | null;
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
  /** Site id → its flood; sites without one are absent. */
  readonly floods: Readonly<Record<string, LiveFlood>>;
}

/** Changed points, at most four times a second; empty ones are the heartbeat, at least once a second. */
export interface LiveUpdate extends Revised {
  readonly points: readonly LivePoint[];
}

/** All alarms of one site that stand now or are set aside, at once when any changes; `changed` are the ids this push is about. */
export interface LiveAlarms extends Revised {
  readonly site: string;
  readonly alarms: readonly LiveAlarm[];
  readonly changed: readonly string[];
  readonly flood: LiveFlood | null;
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
