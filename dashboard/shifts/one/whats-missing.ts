import type { HandEntry, Shift } from '../../api/shift-shapes.ts';
import type { Words } from '../../words/en.ts';

/** What a shift still lacks before somebody puts their name to it, in words. It hinders nobody: the record says so anyway. */
export function whatsMissing(shift: Shift, entries: readonly HandEntry[], underHood: readonly string[], words: Words): readonly string[] {
  const told = words.shifts.missing;
  const has = (kind: string): boolean => entries.some((entry) => entry.kind === kind);
  return [
    underHood.length > 0 ? told.underHood(underHood.join(', ')) : null,
    shift.crew.length === 0 ? told.crew : null,
    !shift.setup.nozzleBore ? told.nozzle : null,
    (shift.setup.respirator ?? '') === '' ? told.respirator : null,
    shift.calibrations.length === 0 ? told.calibrations : null,
    !has('needle') ? told.needle : null,
    !has('blotter') ? told.blotter : null,
  ].filter((one) => one !== null);
}
