import { type JudgedReadiness, judgeReadiness } from '../shift/readiness/judge-readiness.ts';
import { nextReadiness } from '../shift/readiness/next-readiness.ts';
import { NO_READINESS, type Readiness, type ReadyAction, type ReadySight } from '../shift/readiness/readiness.ts';
import { watchReadiness } from '../shift/readiness/watch-readiness.ts';
import type { OwnerView } from './owner-view.ts';
import type { OwnerViews } from './owner-views.ts';
import type { Owner } from './topology.ts';

/** What is held of a rig's check, and what it comes to. */
export interface RigCheck {
  readonly held: Readiness;
  readonly judged: JudgedReadiness;
}

/** How far the check before blasting has come on each rig of a site. Steps are pure; this keeps their results. */
export class SiteReadiness {
  readonly #rigs: Map<string, Readiness>;

  constructor(saved: readonly (readonly [string, Readiness])[] = []) {
    this.#rigs = new Map(saved);
  }

  of(rig: string): Readiness {
    return this.#rigs.get(rig) ?? NO_READINESS;
  }

  /** Does what somebody did in the check; why not, where it is refused. */
  act(action: ReadyAction & { readonly role: string }, by: string, atMs: number, view: OwnerView, effects: { evidence: readonly string[] }): string | null {
    const { readiness, refusal, evidence } = nextReadiness(this.of(action.rig), action, { by, role: action.role }, sightOf(view), atMs);
    if (refusal === null) this.#rigs.set(action.rig, readiness);
    effects.evidence = evidence;
    return refusal;
  }

  /** What the sensors show, once a second. */
  watch(rig: string, view: OwnerView, atMs: number): void {
    const before = this.of(rig);
    const after = watchReadiness(before, sightOf(view), atMs);
    if (after !== before) this.#rigs.set(rig, after);
  }

  /** A shift began or ended: its check is its own. */
  forget(rig: string): void {
    this.#rigs.delete(rig);
  }

  /** Null where there is no such rig. */
  read(rig: Owner | undefined, views: OwnerViews, atMs: number): RigCheck | null {
    if (rig?.kind !== 'rig') return null;
    const held = this.of(rig.id);
    return { held, judged: judgeReadiness(held, sightOf(views.of(rig)), atMs) };
  }

  save(): (readonly [string, Readiness])[] {
    return [...this.#rigs];
  }
}

function sightOf(view: OwnerView): ReadySight {
  const { owner, situation, isBlasting, see } = view;
  const { setup, regime, vesselRating, respirator, readySteps } = owner;
  return { situation, isBlasting, regime, vesselRating, respirator, built: JSON.stringify([setup.hose, setup.nozzle]), steps: readySteps, see };
}
