import type { RunningDrill } from '../alarms/situation.ts';
import type { ShiftAction } from './next-shifts.ts';
import type { SiteConfig } from './site-config.ts';

/** What a trainer does on a training site. */
export type DrillAction =
  /** `speed`: how many times as fast as real the made-up plant runs; delays of alarms stay those of the clock. */
  | { readonly kind: 'start-drill'; readonly scenario: string; readonly seed: number; readonly speed: number }
  | { readonly kind: 'end-drill'; readonly because: string };

export function isDrillAction<A extends { readonly kind: string }>(action: A): action is Extract<A, { readonly kind: DrillAction['kind'] }> {
  return action.kind === 'start-drill' || action.kind === 'end-drill';
}

export interface DrillStep {
  readonly drill: RunningDrill | null;
  readonly refusal: string | null;
}

/** Starts or ends a drill. Only a training site has one, and one at a time: on any other site readings are real. */
export function nextDrill(drill: RunningDrill | null, action: DrillAction, now: { readonly isTraining: boolean; readonly atMs: number; readonly by: string }): DrillStep {
  if (!now.isTraining) return { drill, refusal: 'this is no training site: its readings are real, and no drill is played among them' };
  if (action.kind === 'end-drill') return drill ? { drill: null, refusal: null } : { drill, refusal: 'no drill is running' };
  if (drill) return { drill, refusal: `a drill is running, ${drill.scenario}, started by ${drill.startedBy}: end it first` };
  const { scenario, seed, speed } = action;
  return { drill: { scenario, seed, speed, startedAtMs: now.atMs, startedBy: now.by }, refusal: null };
}

/** On a training site every shift is a drill, whatever was said. */
export function asOnSite<A extends ShiftAction>(action: A, config: SiteConfig | null): A {
  return action.kind === 'start-shift' && config?.site.training ? { ...action, drill: true } : action;
}
