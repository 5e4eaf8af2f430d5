import type { JudgedReadiness, StepState } from '../shift/readiness/judge-readiness.ts';
import type { ReadyEvent, Sequence } from '../shift/readiness/step.ts';

/** The check before blasting of one rig, as the API tells it. Instants are RFC 3339, UTC. */
export interface WireReadiness {
  readonly rig: string;
  readonly shift: string | null;
  readonly result: { readonly state: JudgedReadiness['result']; readonly text: string; readonly because: readonly { readonly step: string; readonly title: string; readonly why: string }[] };
  readonly released: { readonly at: string; readonly by: string } | null;
  readonly steps: readonly WireStep[];
  readonly hold: WireHold | null;
  readonly events: readonly { readonly id: ReadyEvent; readonly words: string }[];
  /** Newest first. */
  readonly history: readonly { readonly at: string; readonly text: string }[];
}

export interface WireStep {
  readonly id: string;
  readonly sequence: Sequence;
  readonly title: string;
  readonly todo: readonly string[];
  readonly seen: string;
  readonly ifNot: string;
  readonly again: readonly string[];
  readonly state: StepState;
  readonly why: string;
  /** Ids of steps that come first. */
  readonly waitsFor: readonly string[];
  readonly proofs: readonly WireProof[];
  readonly signed: { readonly at: string; readonly by: string; readonly role: string; readonly note: string; readonly evidence: readonly string[] } | null;
  readonly expiresAt: string | null;
}

export interface WireProof {
  readonly kind: string;
  readonly says: string;
  readonly state: 'holds' | 'waits' | 'fails' | 'by-hand';
  readonly advisory: boolean;
  readonly point: string | null;
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  /** UCUM */
  readonly unit: string | null;
  readonly note: string;
}

export interface WireHold {
  readonly since: string;
  readonly by: string;
  /** Seconds it has run, and runs. */
  readonly seconds: number;
  readonly of: number;
  /** psi gauge */
  readonly from: number;
  readonly to: number;
  readonly ended: 'held' | 'stopped' | 'lost' | 'disturbed' | null;
  readonly verdict: 'holds' | 'leaks' | 'unclear' | null;
  /** cfm of standard air, with its 95 % limits. */
  readonly leak: { readonly value: number; readonly low: number; readonly high: number } | null;
}
