import type { SiteAlarm } from './site-alarm.ts';
import type { SiteAlarms } from './site-alarms.ts';
import type { EffectsCollector } from './site-effects.ts';
import type { Timers } from './timers.ts';

/** Since when each rig's nozzle has been under flow, and with it the gate of the alarms that only count while blasting and settled. */
export class Gates {
  /** Rig → since when; absent while it is not. */
  readonly #since: Map<string, number>;
  readonly #alarms: () => SiteAlarms;
  readonly #timers: () => Timers;

  constructor(alarms: () => SiteAlarms, timers: () => Timers, saved: readonly (readonly [string, number])[] = []) {
    this.#alarms = alarms;
    this.#timers = timers;
    this.#since = new Map(saved);
  }

  /** Since when the rig blasts; null while it does not. */
  since(rig: string): number | null {
    return this.#since.get(rig) ?? null;
  }

  /** Opens and closes a rig's gate. */
  set(rig: string, isBlasting: boolean, atMs: number, effects: EffectsCollector): void {
    if (isBlasting === this.#since.has(rig)) return;
    if (isBlasting) {
      this.#since.set(rig, atMs);
      for (const alarm of this.#gatedOf(rig)) this.#timers().setIfSooner(`gate ${rig}`, atMs + alarm.bound.rule.settleMs);
    } else {
      this.#since.delete(rig);
      this.#timers().clear(`gate ${rig}`);
      this.judge(rig, atMs, effects);
    }
  }

  judge(rig: string, atMs: number, effects: EffectsCollector): void {
    for (const alarm of this.#gatedOf(rig)) this.#alarms().judge(alarm, atMs, this.isOpen, effects);
  }

  /** Under flow for long enough, as of the moment that is being worked on. */
  readonly isOpen = (alarm: SiteAlarm): boolean => {
    const since = this.#since.get(alarm.bound.owner);
    return since !== undefined && alarm.view.atMs >= since + alarm.bound.rule.settleMs;
  };

  save(): [string, number][] {
    return [...this.#since];
  }

  #gatedOf(rig: string): SiteAlarm[] {
    return this.#alarms().ofOwner(rig).filter((alarm) => alarm.bound.rule.gate === 'while-blasting');
  }
}
