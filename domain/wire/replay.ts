import { z } from 'zod';

/**
 * A recorded shift that is played again over MQTT. The announcement is retained while it lasts (empty when it is over); each replayed
 * reading carries the shift's id as well, so that neither is taken for the other.
 */
export interface ReplayAnnouncement {
  /** Id of the shift that is played again. */
  readonly replay: string;
  /** Times as fast as real. */
  readonly speed: number;
}

const announcement = z.object({ replay: z.string().min(1).max(120), speed: z.number().positive() });

export function replayTopic(site: string): string {
  return `potside/${site}/replay`;
}

/** Where the gateway says whether it plays along. */
export function replayAnswerTopic(site: string): string {
  return `potside/${site}/replay-answer`;
}

/** Null where it is none. */
export function parseReplayAnnouncement(text: string): ReplayAnnouncement | null {
  try {
    const parsed = announcement.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}
