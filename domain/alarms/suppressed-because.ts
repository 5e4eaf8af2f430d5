import type { Suppression } from './rule.ts';
import { type View, usable } from './view.ts';

/** So long after the last blasting somebody may still be under a hood that nobody logged. */
const HOOD_LINGERS_MS = 600_000;
const WARM_UP_MS = 600_000;
/** psi gauge: below this there is no pressure on the line. */
const NO_PRESSURE = 5;

/** Why the design suppresses an alarm now, in words; null where it does not. The first reason that holds is given. */
export function suppressedBecause(conditions: readonly Suppression[], view: View): string | null {
  for (const condition of conditions) {
    const because = REASONS[condition](view);
    if (because !== null) return because;
  }
  return null;
}

const REASONS: Readonly<Record<Suppression, (view: View) => string | null>> = {
  'bump-test': ({ situation }) => (situation.bumpTestUntilMs === null ? null : 'a bump test is in progress'),
  'nobody-under-hood': (view) => (isNobodyUnderHood(view) ? 'nobody is under a hood' : null),
  'not-in-service': (view) => (isInService(view) ? null : 'not in service'),
  'stop-announced': (view) => (isStopAnnounced(view) ? 'a stop was announced' : null),
  depressurised: ({ see }) => ((psi) => (psi !== null && psi < NO_PRESSURE ? 'no pressure on the line' : null))(usable(see('supply-pressure'))),
  'no-baseline': ({ situation }) => (situation.baseline === null ? 'no needle reading was taken on this shift' : null),
  idle: ({ situation }) => (situation.shiftSinceMs === null ? 'no shift is open' : null),
  'warm-up': (view) => (isWarmingUp(view) ? 'the first ten minutes' : null),
  'co-high-stands': (view) => (view.stands('co-high', 'breathing-air-co') ? 'carbon monoxide high stands already' : null),
  'hood-log-unused': ({ situation }) => (situation.isHoodLogUsed ? null : 'nobody was logged under a hood on this shift'),
};

/** With a log that is kept, its word; without one, whoever blasts is under a hood, and for a while after. Blasting overrules the log. */
function isNobodyUnderHood({ situation, isBlasting, see, atMs }: View): boolean {
  if (situation.underHood.length > 0 || isBlasting) return false;
  if (situation.isHoodLogUsed) return true;
  if (see('blasting') === undefined) return situation.shiftSinceMs === null;
  return situation.lastBlastingMs === null || atMs - situation.lastBlastingMs > HOOD_LINGERS_MS;
}

type Rig = Pick<View, 'situation' | 'isBlasting'>;

function isRigInService({ situation, isBlasting }: Rig): boolean {
  return isBlasting || (situation.shiftSinceMs !== null && situation.pressurisedSinceMs !== null);
}

function isInService(view: View): boolean {
  return view.rigs.length > 0 ? view.rigs.some(isRigInService) : isRigInService(view);
}

function isStopAnnounced({ situation, rigs }: View): boolean {
  return situation.stopAnnouncedUntilMs !== null || rigs.some((rig) => rig.situation.stopAnnouncedUntilMs !== null);
}

function isWarmingUp({ situation, rigs, atMs }: View): boolean {
  const sinceMs = rigs.length > 0 ? rigs.map((rig) => rig.situation.pressurisedSinceMs).find((ms) => ms !== null) ?? null : situation.pressurisedSinceMs;
  return sinceMs === null || atMs - sinceMs < WARM_UP_MS;
}
