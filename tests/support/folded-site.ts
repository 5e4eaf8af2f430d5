import type { Action, LogEntry, LoggedReading } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { AlarmTransition, Effects } from '../../domain/site/site-effects.ts';
import { testSite } from './site.ts';

type Draft = { kind: 'batch'; origin: string; readings: LoggedReading[] } | { kind: 'action'; action: Action } | { kind: 'clock'; jumpMs: number } | { kind: 'quarantine'; what: string; reason: string; held: string } | { kind: 'tick' };

/** A site folded entry by entry, for tests: remembers its log and every move of an alarm. */
export class FoldedSite {
  evaluator = new SiteEvaluator('pier-9');
  readonly log: LogEntry[] = [];
  readonly moves: AlarmTransition[] = [];

  constructor(config = testSite(), atMs = 0) {
    this.#apply({ seq: 1, atMs, kind: 'config', version: 'v1', config });
  }

  read(...readings: LoggedReading[]): Effects {
    return this.add(Math.max(...readings.map((reading) => reading.receivedAtMs)), { kind: 'batch', origin: '', readings });
  }

  tick(atMs: number): Effects {
    return this.add(atMs, { kind: 'tick' });
  }

  act(atMs: number, action: Action): Effects {
    return this.add(atMs, { kind: 'action', action });
  }

  jump(atMs: number, jumpMs: number): Effects {
    return this.add(atMs, { kind: 'clock', jumpMs });
  }

  quarantine(atMs: number, what: string): Effects {
    return this.add(atMs, { kind: 'quarantine', what, reason: 'it threw', held: '{}' });
  }

  add(atMs: number, draft: Draft): Effects {
    return this.#apply({ seq: this.evaluator.seq + 1, atMs, ...draft });
  }

  /** Standing alarms as `name state`. */
  standing(): string[] {
    return [...this.evaluator.alarms()].flatMap(({ bound, track }) => (track.occurrence ? [`${bound.rule.name} ${track.occurrence.state}`] : []));
  }

  #apply(entry: LogEntry): Effects {
    this.log.push(entry);
    const effects = this.evaluator.apply(entry);
    this.moves.push(...effects.transitions);
    return effects;
  }
}
