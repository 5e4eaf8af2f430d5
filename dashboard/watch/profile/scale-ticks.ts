import { convert, needUnit } from '../../../domain/quantity/unit.ts';
import { type UnitSystem, formatNumber, inSystem } from '../../format/units.ts';

export interface ScaleTick {
  readonly psi: number;
  readonly text: string;
}

/** Round numbers of the reader's own unit. */
const STEP: Readonly<Record<UnitSystem, number>> = { us: 50, si: 3 };

export function scaleTicks(topPsi: number, system: UnitSystem): readonly ScaleTick[] {
  const psi = needUnit('[psi]', 'pressure');
  const shown = needUnit(system === 'us' ? '[psi]' : 'bar', 'pressure');
  const top = inSystem(topPsi, '[psi]', 'pressure', system).value;
  const ticks: ScaleTick[] = [];
  for (let at = 0; at <= top; at += STEP[system]) ticks.push({ psi: convert(at, shown, psi), text: formatNumber(at, 0) });
  return ticks;
}
