import { itemOf } from '../shift/next-situation.ts';
import { nextShifts, type ShiftAction } from '../shift/next-shifts.ts';
import { isReadyAction } from '../shift/readiness/readiness.ts';
import { type Shift, metresOf } from '../shift/shift.ts';
import type { RigSaid } from './log.ts';
import type { EffectsCollector } from './site-effects.ts';
import type { Owner, Topology } from './topology.ts';

/** Who acts. */
export interface Actor {
  readonly by: string;
  readonly role: string;
}

/** The shifts of a site that can still change: open ones, and ended ones that are not sealed. Steps are pure (`nextShifts`). */
export class SiteShifts {
  #held: readonly Shift[];

  constructor(saved: readonly Shift[] = []) {
    this.#held = saved;
  }

  open(): readonly Shift[] {
    return this.#held.filter(({ endedAtMs }) => endedAtMs === null);
  }

  openOn(rig: string): Shift | undefined {
    return this.#held.find((shift) => shift.rig === rig && shift.endedAtMs === null);
  }

  /** Ended and signed twice, but their tree is not signed yet. */
  unsealed(): readonly Shift[] {
    return this.#held.filter(({ signOffs }) => signOffs.length === 2);
  }

  /** Does what somebody asked and notes it in the effects; answers with the shift that changed, if one did. */
  act(action: ShiftAction, actor: Actor, atMs: number, isRig: (id: string) => boolean, newId: () => string, effects: EffectsCollector): Shift | null {
    const { shifts, made, item, refusal } = nextShifts(this.#held, action, { atMs, by: actor.by, role: actor.role, isRig, newId });
    this.#held = shifts;
    effects.refusal = refusal;
    effects.shift = made;
    effects.siteChanged = refusal === null;
    if (item) effects.items.push({ id: newId(), shift: item.shift, rig: item.rig, atMs, by: actor.by, role: actor.role, ...item.body });
    return made;
  }

  /** What somebody told of a rig goes on its open shift. */
  note(action: RigSaid, { by, role }: Actor, atMs: number, newId: () => string, effects: EffectsCollector): void {
    // A signed step of the check is told by the journal.
    const body = isReadyAction(action) ? null : itemOf(action, by, atMs);
    if (body) effects.items.push({ id: newId(), shift: this.openOn(action.rig)?.id ?? null, rig: action.rig, atMs, by, role, ...body });
  }

  save(): readonly Shift[] {
    return this.#held;
  }
}

/** A rig as fitted on its shift: what the crew told overrules what the site's configuration says. */
export function fitOut(owner: Owner, shift: Shift | undefined): Owner {
  if (!shift) return owner;
  const { hose, nozzle } = owner.setup;
  const bore = metresOf(shift.setup.hoseBore) ?? hose?.bore;
  const length = metresOf(shift.setup.hoseLength) ?? hose?.length;
  const nozzleBore = metresOf(shift.setup.nozzleBore) ?? nozzle?.bore;
  if (bore === hose?.bore && length === hose?.length && nozzleBore === nozzle?.bore) return owner;
  return { ...owner, setup: { ...owner.setup, hose: bore === undefined || length === undefined ? hose : { bore, length }, nozzle: nozzleBore === undefined ? nozzle : { bore: nozzleBore } } };
}

/** The topology with every rig as fitted on its open shift. */
export function withShifts(topology: Topology, shifts: SiteShifts): Topology {
  return { ...topology, owners: new Map([...topology.owners].map(([id, owner]) => [id, owner.kind === 'rig' ? fitOut(owner, shifts.openOn(id)) : owner])) };
}
