import type { SiteConfig } from '../domain/shift/site-config.ts';
import { parseReplayAnnouncement, replayAnswerTopic, replayTopic } from '../domain/wire/replay.ts';
import type { Command } from './decode/decoded-message.ts';
import type { Message } from './take-in.ts';

export interface ReplayGateOptions {
  readonly config: SiteConfig;
  /** Told the shift that is played again, null when that is over. */
  readonly onReplay: (record: string | null) => void;
  readonly answer: (command: Command) => void;
}

const BRACE = 0x7b;

/** Lets a replay in on a training site only: elsewhere a reading of another day would be taken for one of now. */
export class ReplayGate {
  readonly #options: ReplayGateOptions;
  readonly #prefix: string;

  constructor(options: ReplayGateOptions) {
    this.#options = options;
    this.#prefix = `potside/${options.config.site.id}/`;
  }

  /** `mine`: an announcement, dealt with; `refused`: a replayed reading on a site where readings are real; `pass`: anything else. */
  check({ topic, payload }: Message): 'mine' | 'refused' | 'pass' {
    if (!topic.startsWith(this.#prefix)) return 'pass';
    const { site } = this.#options.config;
    if (topic === replayAnswerTopic(site.id)) return 'mine';
    if (topic === replayTopic(site.id)) {
      this.#announced(Buffer.from(payload).toString('utf8'));
      return 'mine';
    }
    return !site.training && payload[0] === BRACE && Buffer.from(payload).includes('"replay"') ? 'refused' : 'pass';
  }

  #announced(text: string): void {
    const { config, onReplay, answer } = this.#options;
    const announcement = parseReplayAnnouncement(text);
    const isOn = announcement !== null && config.site.training;
    if (config.site.training) onReplay(announcement?.replay ?? null);
    if (text === '') return;
    const why = announcement === null ? 'this is no announcement of a replay' : `site ${config.site.id} is not for training: mark a site of its own with training: true in site.yaml`;
    answer({ topic: replayAnswerTopic(config.site.id), payload: Buffer.from(JSON.stringify(isOn ? { playsAlong: true } : { playsAlong: false, why })) });
  }
}
