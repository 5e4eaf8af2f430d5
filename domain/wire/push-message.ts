import type { AlarmPriority } from '../alarms/alarm.ts';
import type { Language } from '../shift/language.ts';

/** What a Web Push holds, encrypted for one browser; its worker shows it. */
export interface PushMessage {
  /** The same at every try. */
  readonly id: string;
  readonly kind: 'alarm' | 'digest' | 'test' | 'seal';
  readonly site: string;
  readonly siteName: string;
  /** Null for what is no alarm. */
  readonly priority: AlarmPriority | null;
  readonly title: string;
  /** Short lines of plain text: the rig with time and value, then what to do first. */
  readonly lines: readonly string[];
  /** Id of the occurrence, for one alarm. */
  readonly alarm: string | null;
  /** What its lines are in, and what the worker's own words are to be in. Absent from servers of before there was a choice. */
  readonly language?: Language;
  readonly atMs: number;
}
