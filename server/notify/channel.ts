import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { Language } from '../../domain/shift/language.ts';
import type { SealBody } from './notice.ts';

/** What is told, whatever the way. */
export interface Message {
  readonly id: string;
  readonly kind: 'alarm' | 'digest' | 'test' | 'seal';
  readonly site: string;
  readonly siteName: string;
  /** Null for what is no alarm. */
  readonly priority: AlarmPriority | null;
  readonly title: string;
  /** Of title, lines and all that the channel says by itself. */
  readonly language: Language;
  /** Short lines of plain text. */
  readonly lines: readonly string[];
  /** Id of the occurrence, for one alarm. */
  readonly alarm: string | null;
  /** For the seal of a shift. */
  readonly seal?: SealBody;
  /** Where the page shows it; null where the page's address is not configured. */
  readonly link: string | null;
  readonly atMs: number;
}

export type Outcome =
  /** The channel's first server took it: what that is worth is in docs/notifications.md. */
  | { readonly kind: 'accepted'; readonly detail: string }
  | { readonly kind: 'failed'; readonly detail: string; /** No use to try again. */ readonly isFinal: boolean; readonly retryAfterMs?: number };

/** One way to tell somebody. Never throws; answers within `timeoutMs`. */
export interface Channel {
  send(target: string, message: Message, timeoutMs: number): Promise<Outcome>;
  close(): void;
}

/** Nothing waits longer than its time, whatever a library does. */
export async function withinTime(timeoutMs: number, sending: Promise<Outcome>): Promise<Outcome> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<Outcome>((resolve) => {
    timer = setTimeout(() => resolve({ kind: 'failed', detail: `no answer within ${timeoutMs} ms`, isFinal: false }), timeoutMs);
  });
  try {
    return await Promise.race([sending, late]);
  } finally {
    clearTimeout(timer);
  }
}

export function failed(error: unknown, isFinal = false): Outcome {
  return { kind: 'failed', detail: error instanceof Error ? error.message.slice(0, 300) : 'failed', isFinal };
}
