import type { Reading } from '../points/reading.ts';
import type { Finding } from './log.ts';
import type { AlarmTransition } from './site-effects.ts';
import type { SiteAlarm } from './site-alarm.ts';
import { SiteEvaluator } from './site-evaluator.ts';

/** An alarm that the live evaluation raised: from when, and until when; null while it stands. */
export interface KnownAlarm {
  readonly name: string;
  readonly owner: string;
  readonly point: string;
  readonly fromMs: number;
  readonly toMs: number | null;
}

interface Open {
  readonly alarm: SiteAlarm;
  readonly fromMs: number;
  worst: number | null;
}

/** An alarm that was raised live within a minute of its cause needs no second telling. */
const SAME_MS = 60_000;

/**
 * A second look at a stretch of time with the readings that came late in it: a site of its own, folded by the readings' own times,
 * of which only what it would have raised is kept. People and modes are taken as they are now. Never touches the live state.
 */
export class SecondLook {
  readonly #evaluator: SiteEvaluator;
  readonly #fromMs: number;
  readonly #open = new Map<string, Open>();
  readonly #found: Finding[] = [];
  #atMs: number;

  /** `startMs` is before `fromMs`, so that by then the site is known; only what is raised from `fromMs` on counts. */
  constructor(live: SiteEvaluator, startMs: number, fromMs: number) {
    this.#evaluator = SiteEvaluator.load({ ...live.save(), atMs: startMs, points: [], alarms: [], timers: [], blastingSince: [], late: null });
    this.#fromMs = fromMs;
    this.#atMs = startMs;
  }

  /** Takes readings, oldest first, none older than those before. */
  take(readings: readonly Reading[]): void {
    for (let at = 0; at < readings.length; ) {
      const second = Math.floor((readings[at]?.observedAtMs ?? 0) / 1000);
      const from = at;
      while (at < readings.length && Math.floor((readings[at]?.observedAtMs ?? 0) / 1000) === second) at += 1;
      const group = readings.slice(from, at);
      this.#atMs = Math.max(this.#atMs, group.at(-1)?.observedAtMs ?? 0);
      const logged = group.map((reading) => ({ ...reading, receivedAtMs: reading.observedAtMs, late: false, sequence: 0 }));
      const effects = this.#evaluator.apply({ kind: 'batch', seq: this.#evaluator.seq + 1, atMs: this.#atMs, origin: '', readings: logged });
      for (const move of effects.transitions) this.#note(move);
      for (const open of this.#open.values()) open.worst = worse(open.alarm, open.worst);
    }
  }

  /** What it would have raised and the live evaluation did not. */
  findings(known: readonly KnownAlarm[]): Finding[] {
    for (const [key, { alarm }] of [...this.#open]) {
      const { process, dueAtMs } = alarm.track;
      this.#close(key, process === 'falling' && dueAtMs !== null ? dueAtMs - alarm.bound.rule.offDelayMs : null);
    }
    return this.#found.filter((finding) => !known.some((alarm) => isKnown(finding, alarm)));
  }

  #note({ what, key, rule, atMs }: AlarmTransition): void {
    if (what === 'returned' && this.#open.has(key)) this.#close(key, atMs - rule.offDelayMs);
    // Silence and what people tell are of the moment: looked at later they say nothing.
    const { condition } = rule;
    if (what !== 'raised' || atMs < this.#fromMs || condition.kind === 'unknown' || (condition.kind === 'state' && condition.prompt === 'told')) return;
    const alarm = this.#evaluator.findAlarm(key);
    if (alarm) this.#open.set(key, { alarm, fromMs: atMs, worst: alarm.track.occurrence?.value ?? null });
  }

  #close(key: string, toMs: number | null): void {
    const open = this.#open.get(key);
    this.#open.delete(key);
    if (!open) return;
    const { rule, owner, point, unit, limit } = open.alarm.bound;
    this.#found.push({ name: rule.name, title: rule.title, owner, point, fromMs: open.fromMs, toMs, value: open.worst, limit, unit });
  }
}

function worse({ bound, watched }: SiteAlarm, worst: number | null): number | null {
  const value = watched?.value ?? null;
  if (value === null || worst === null) return worst ?? value;
  const { condition } = bound.rule;
  if (condition.kind === 'below') return Math.min(worst, value);
  return condition.kind === 'outside' ? worst : Math.max(worst, value);
}

function isKnown(finding: Finding, alarm: KnownAlarm): boolean {
  return alarm.name === finding.name && alarm.owner === finding.owner && alarm.point === finding.point && alarm.fromMs <= finding.fromMs + SAME_MS && (alarm.toMs ?? Number.POSITIVE_INFINITY) >= finding.fromMs - SAME_MS;
}
