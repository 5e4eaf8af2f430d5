import { type StateTest, type View, isCertain, usable } from '../view.ts';

/** ppm up in two minutes, and the share of that pace at which it no longer rises. */
const CO_RISE = 3;
const CALM_SHARE = 0.5;

/** At or above `limit`, or three ppm up in two minutes. */
export const coRising: StateTest = (view) => {
  const co = usable(view.see('breathing-air-co'));
  const rise = usable(view.see('co-rise'));
  view.value = co;
  if (co === null || view.limit === null) return 'hold';
  if (co >= view.limit || (rise !== null && rise >= CO_RISE)) return 'alarm';
  return isCertain(view.see('breathing-air-co')) && co < view.limit - 1 && (rise === null || rise < CO_RISE * CALM_SHARE) ? 'clear' : 'hold';
};

/** The handle where it has a signal, else what the pressures say. */
function isTriggered(view: View): boolean | null {
  const handle = view.see('remote-control');
  if (handle !== undefined) return ((held) => (held === null ? null : held === 1))(usable(handle));
  return view.isBlasting;
}

/** The trigger held while the breathing pressure is below the respirator's table. */
export const blastingWithoutAir: StateTest = (view) => {
  const triggered = isTriggered(view);
  const air = usable(view.see('breathing-air-pressure'));
  view.value = air;
  if (triggered === false) return 'clear';
  if (triggered === null || air === null || view.limit === null) return 'hold';
  if (air < view.limit) return 'alarm';
  return isCertain(view.see('breathing-air-pressure')) && air >= view.limit + 2 ? 'clear' : 'hold';
};

export const triggerNobodyUnderHood: StateTest = (view) => {
  const triggered = isTriggered(view);
  if (triggered === null) return 'hold';
  return triggered && view.situation.underHood.length === 0 ? 'alarm' : 'clear';
};

interface Fall {
  readonly atMs: readonly number[];
  readonly psi: readonly number[];
}

/** How far a pressure fell from its highest within the last `overMs`; the memory holds those readings. */
function fallOf(memory: unknown, atMs: number, psi: number, overMs: number): { fall: number; memory: Fall } {
  const before = (memory as Fall | undefined) ?? { atMs: [], psi: [] };
  const next: { atMs: number[]; psi: number[] } = { atMs: [], psi: [] };
  let highest = psi;
  for (let index = 0; index < before.atMs.length; index += 1) {
    const ms = before.atMs[index] ?? 0;
    const value = before.psi[index] ?? psi;
    if (ms < atMs - overMs) continue;
    next.atMs.push(ms);
    next.psi.push(value);
    if (value > highest) highest = value;
  }
  next.atMs.push(atMs);
  next.psi.push(psi);
  return { fall: highest - psi, memory: next };
}

/** A pot that fills when a handle is pressed takes the line down as fast as a trip does, for some seconds. */
const POT_FILLS_MS = 15_000;
function isPotFilling({ lastStartMs, atMs }: View): boolean {
  return lastStartMs !== null && atMs - lastStartMs < POT_FILLS_MS;
}

/** A fall of 20 psi in three seconds, or below `limit`: the breathing regulator's low limit and ten more. */
const COLLAPSE_PSI = 20;
const COLLAPSE_MS = 3_000;
export const supplyCollapse: StateTest = (view) => {
  const psi = usable(view.see('supply-pressure'));
  view.value = psi;
  if (psi === null || view.limit === null) return 'hold';
  const { fall, memory } = fallOf(view.memory, view.atMs, psi, COLLAPSE_MS);
  view.memory = memory;
  const isFalling = fall >= COLLAPSE_PSI && !isPotFilling(view);
  if (isFalling || psi < view.limit) return 'alarm';
  return isCertain(view.see('supply-pressure')) && psi >= view.limit + 5 && (fall < COLLAPSE_PSI / 2 || isPotFilling(view)) ? 'clear' : 'hold';
};

/**
 * The outlet falls by `limit` psi within ten seconds; where the outlet has no gauge, the supplies of two rigs at least do, within ten
 * seconds of each other. It is over when every pressure is back.
 */
const TOGETHER_MS = 10_000;
const BACK_PSI = 60;
const OUTLET_EVERY_MS = 500;

interface Trip {
  readonly outlet?: Fall;
  /** By place of the rig. */
  readonly rigs: readonly (Fall | null)[];
  readonly fellAtMs: readonly (number | null)[];
}

export const compressorTripped: StateTest = (view) => {
  const { limit, atMs } = view;
  if (limit === null) return 'hold';
  const before = (view.memory as Trip | undefined) ?? { rigs: [], fellAtMs: [] };
  const outlet = view.see('compressor-pressure');
  const psi = usable(outlet);
  if (outlet !== undefined) {
    view.value = psi;
    // A rig's supply asks too, for compressors without a gauge: this one has just been looked at.
    if (psi === null || atMs - (before.outlet?.atMs.at(-1) ?? 0) < OUTLET_EVERY_MS) return 'hold';
    const { fall, memory } = fallOf(before.outlet, atMs, psi, TOGETHER_MS);
    view.memory = { ...before, outlet: memory } satisfies Trip;
    if (fall >= limit && !isPotFilling(view)) return 'alarm';
    return isCertain(outlet) && psi >= BACK_PSI && (fall < limit / 2 || isPotFilling(view)) ? 'clear' : 'hold';
  }
  const supplies = view.rigs.map(({ see }) => usable(see('supply-pressure')));
  const falls = supplies.map((supply, place) => (supply === null ? null : fallOf(before.rigs[place], atMs, supply, TOGETHER_MS)));
  const fellAtMs = falls.map((one, place) => (one && one.fall >= limit && !isPotFilling(view) ? atMs : (before.fellAtMs[place] ?? null)));
  view.memory = { rigs: falls.map((one, place) => one?.memory ?? before.rigs[place] ?? null), fellAtMs } satisfies Trip;
  view.value = supplies.find((supply) => supply !== null) ?? null;
  if (fellAtMs.filter((ms) => ms !== null && atMs - ms <= TOGETHER_MS).length >= 2) return 'alarm';
  return supplies.length > 0 && supplies.every((supply) => supply !== null && supply >= BACK_PSI) ? 'clear' : 'hold';
};

export const supplyLowWhileTriggered: StateTest = (view) => {
  const psi = usable(view.see('supply-pressure'));
  const held = usable(view.see('remote-control'));
  view.value = psi;
  if (held === 0) return 'clear';
  if (psi === null || held === null || view.limit === null) return 'hold';
  if (psi < view.limit) return 'alarm';
  return isCertain(view.see('supply-pressure')) && psi >= view.limit + 3 ? 'clear' : 'hold';
};
