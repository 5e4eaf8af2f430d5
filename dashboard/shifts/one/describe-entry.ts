import type { HandEntry } from '../../api/shift-shapes.ts';
import { formatQuantity } from '../../format/quantity.ts';
import type { UnitSystem } from '../../format/units.ts';
import type { Words } from '../../words/en.ts';

/** Units of entries that came without one, as the API asks for them. */
const UNITS: Readonly<Record<string, string>> = { needle: '[psi]', spot: 'Cel', 'plug-gauge': 'mm', 'stop-announced': 'min' };

/** A hand entry in words: what, how much, where, and what was said with it. */
export function describeEntry(entry: HandEntry, system: UnitSystem, words: Words): string {
  const unit = entry.unit ?? UNITS[entry.kind] ?? '';
  const amount = entry.value === null ? '' : formatQuantity({ value: entry.value, unit }, system);
  const name = words.rig.kinds[entry.kind] ?? entry.kind;
  return [amount === '' ? name : `${name} ${amount}`, entry.place === '' ? null : words.rig.at(entry.place), entry.text === '' ? null : entry.text].filter((part) => part !== null).join(', ');
}
