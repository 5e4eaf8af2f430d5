import { describe, expect, it } from 'vitest';
import { ENTRY_KINDS } from '../../../domain/alarms/situation.ts';
import { checkEntry, ENTRY_SPECS } from '../../../domain/shift/entry-kind.ts';
import { findUnit } from '../../../domain/quantity/unit.ts';

const said = { value: null, place: '', text: '' };

describe('an entry by hand', () => {
  it('has a unit of its dimension for every kind that takes a number', () => {
    for (const kind of ENTRY_KINDS) {
      const { unit, dimension } = ENTRY_SPECS[kind];
      if (unit !== null) expect([kind, findUnit(unit, dimension ?? 'count')?.code]).toEqual([kind, unit]);
    }
  });

  it.each([
    ['needle in bar', { ...said, entry: 'needle', value: 6.5, unit: 'bar' }, { value: 94.3, second: null }],
    ['plug gauge in inches', { ...said, entry: 'plug-gauge', value: 0.5, unit: '[in_i]' }, { value: 12.7, second: null }],
    ['a spot in °F', { ...said, entry: 'spot', value: 50, unit: '[degF]', place: 'flange 3' }, { value: 10, second: null }],
    ['wet and dry bulb in °F', { ...said, entry: 'wet-dry-bulb', value: 68, second: 59, unit: '[degF]' }, { value: 20, second: 15 }],
    ['an area in square feet', { ...said, entry: 'area-done', value: 100, unit: '[sft_i]' }, { value: 9.3, second: null }],
    ['one tap: pot filled', { ...said, entry: 'pot-filled' }, { value: null, second: null }],
    ['a stop for weather', { ...said, entry: 'stopped', text: 'weather' }, { value: null, second: null }],
  ] as const)('is converted to the unit of its kind: %s', (_what, entry, kept) => {
    expect(checkEntry(entry)).toEqual(kept);
  });

  it.each([
    ['a needle in degrees', { ...said, entry: 'needle', value: 95, unit: 'Cel' }, /Needle at the nozzle: found the unit "Cel", expected one of pressure/],
    ['a needle beyond any line', { ...said, entry: 'needle', value: 900 }, /found 900 psi, expected 0 to 300 psi/],
    ['a wet bulb above the dry one', { ...said, entry: 'wet-dry-bulb', value: 15, second: 20 }, /can’t be above the dry one/],
    ['a wet bulb alone', { ...said, entry: 'wet-dry-bulb', value: 15 }, /the wet bulb is missing/],
    ['an abrasive lot without its number', { ...said, entry: 'abrasive-lot', text: ' ' }, /say what/],
    ['a stop for a reason of its own', { ...said, entry: 'stopped', text: 'bored' }, /expected one of weather, client/],
    ['a number where none belongs', { ...said, entry: 'blotter', value: 3 }, /takes no number, found 3/],
    ['two numbers where one belongs', { ...said, entry: 'needle', value: 3, second: 4 }, /takes one number/],
  ] as const)('is refused with what was found and what was expected: %s', (_what, entry, reason) => {
    expect(checkEntry(entry)).toEqual({ refusal: expect.stringMatching(reason) });
  });
});
