import type { ShiftHeadline } from '../../api/shift-shapes.ts';
import { formatAge } from '../../format/age.ts';
import { formatQuantity, formatShare } from '../../format/quantity.ts';
import type { UnitSystem } from '../../format/units.ts';
import type { Words } from '../../words/en.ts';

export interface Fact {
  readonly label: string;
  readonly value: string;
  readonly note: string;
}

/** The numbers by which one shift is told from another. What is not known stands as such: it is no nought. */
export function describeHeadline(headline: ShiftHeadline | null, system: UnitSystem, words: Words): readonly Fact[] {
  const told = words.shifts.facts;
  const none = words.noValue;
  const { blastingMs, nozzleMedian, coMax, audibleAlarms, criticalAlarms, coverage, lostProduction, boreEnd } = headline ?? NOTHING;
  return [
    { label: told.blasting, value: blastingMs === null ? none : formatAge(blastingMs, words), note: '' },
    { label: told.nozzle, value: nozzleMedian ? formatQuantity(nozzleMedian, system) : none, note: '' },
    { label: told.co, value: coMax ? formatQuantity(coMax, system) : none, note: '' },
    { label: told.alarms, value: audibleAlarms === null ? none : String(audibleAlarms), note: criticalAlarms ? told.critical(criticalAlarms) : '' },
    { label: told.lost, value: lostProduction === null ? none : formatShare(lostProduction), note: '' },
    { label: told.bore, value: boreEnd ? formatQuantity(boreEnd, system) : none, note: '' },
    { label: told.coverage, value: coverage === null ? none : formatShare(coverage, 1), note: '' },
  ];
}

const NOTHING: ShiftHeadline = { blastingMs: null, nozzleMedian: null, coMax: null, audibleAlarms: null, criticalAlarms: null, coverage: null, lostProduction: null, boreStart: null, boreEnd: null };
