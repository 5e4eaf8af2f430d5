import type { Shift } from '../../domain/shift/shift.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action, Finding } from '../../domain/site/log.ts';
import type { AlarmChanges } from '../../domain/site/rejudge.ts';
import type { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { UplinkAck, UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Cursor } from '../record/store.ts';

export interface ActionResult {
  readonly refusal: string | null;
  /** The shift it changed, as it stands. */
  readonly shift: Shift | null;
  /** Id of what it added to a shift. */
  readonly item?: string | null;
}

/** Who changed a configuration, and why, where somebody did. */
export interface ToldChange {
  readonly by?: string;
  readonly why?: string;
}

/** A site as the parts of a server see it, whichever server judges it and writes its log. What is asked of it is done where that is. */
export interface Site {
  readonly siteId: string;
  readonly state: SiteEvaluator;
  /** False after a commit failed, until one works again; or while no server has it. */
  readonly isRecording: boolean;
  /** True where this server judges it and writes its log; false where another one does, and this one reads what it wrote. */
  readonly isOurs: boolean;
  /** Takes a batch in, once: what is already committed is passed over. Resolves after the commit. */
  take(batch: UplinkBatch): Promise<UplinkAck>;
  /** What is committed of each gateway. */
  cursors(): Cursor[];
  /** Does what a person asked, or says why not. The same key again gets the same answer. */
  act(action: Action): Promise<ActionResult>;
  /** Puts a configuration into force when it differs from the one in force. `told`: who changed it, where somebody did. */
  configure(config: SiteConfig, told?: ToldChange): Promise<void>;
  /** Puts changed alarm settings into force, on top of the configuration. The same proposal again changes nothing. */
  putIntoForce(proposal: string, changes: AlarmChanges, by: string, why: string): Promise<void>;
  /** Notes that the wall clock moved against log time. */
  noteClockJump(jumpMs: number): Promise<void>;
  /** Notes what a second look at late readings found. */
  noteFound(throughSeq: number, findings: readonly Finding[]): Promise<void>;
  /** Finishes what is queued and saves the state. */
  stop(): Promise<void>;
}
