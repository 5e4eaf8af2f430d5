import { parse } from 'yaml';
import { expect, it } from 'vitest';
import { editSiteYaml } from '../../host/edit-site-yaml.ts';

const TEXT = `# quay
site: { id: quay-4, name: Quay 4, zone: America/Chicago } # the place

rigs:
  # the big one
  - id: rig-a
    nozzle: { bore: 7/16in } # new in May
    points:
      supply-pressure: { topic: line/pt-101, payload: json, value: /pressure, unit: "[psi]", every: 1s } # inlet
  # on loan
  - id: rig-b
alarms:
`;

function edited(change: (document: any) => void, text = TEXT): string {
  const document = parse(text);
  change(document);
  const after = editSiteYaml(text, document);
  // Whatever it looks like, it says what it should.
  expect(JSON.parse(JSON.stringify(parse(after)))).toEqual(JSON.parse(JSON.stringify(document)));
  return after;
}

it('leaves a text alone that already says it', () => {
  expect(edited(() => undefined)).toBe(TEXT);
});

it('puts a value in place, and the comments beside and around it stay', () => {
  expect(edited((document) => (document.rigs[0].nozzle.bore = '1/2in'))).toBe(TEXT.replace('7/16in', '1/2in'));
  expect(edited((document) => (document.rigs[0].points['supply-pressure'].unit = 'bar'))).toBe(TEXT.replace('"[psi]"', '"bar"'));
});

it('writes what is new on one line, also where nothing stood yet', () => {
  const after = edited((document) => {
    document.rigs[0].points['breathing-air-co'] = { topic: 'gas/7', scale: '4-20mA', range: '0ppm..100ppm' };
    document.alarms = { 'nozzle-pressure-low': { limit: '85psi' } };
    document.rigs[1].vessel = { 'rated-pressure': '125psi' };
  });
  expect(after).toContain('      breathing-air-co: { topic: gas/7, scale: 4-20mA, range: 0ppm..100ppm }\n');
  expect(after).toContain('alarms:\n  nozzle-pressure-low: { limit: 85psi }\n');
  expect(after).toContain('    vessel: { rated-pressure: 125psi }\n');
  for (const comment of ['# quay', '# the place', '# the big one', '# new in May', '# inlet', '# on loan']) expect(after).toContain(comment);
});

it('takes an entry out of a list and adds one, and the others keep their comments', () => {
  const after = edited((document) => {
    document.rigs.splice(1, 1);
    document.rigs.push({ id: 'rig-c', points: { 'supply-pressure': { topic: 'a/b' } } });
  });
  expect(after).toContain('  # the big one\n  - id: rig-a\n    nozzle: { bore: 7/16in } # new in May\n');
  expect(after).toContain('  - id: rig-c\n    points:\n      supply-pressure: { topic: a/b }\n');
  expect(after).not.toContain('rig-b');
  expect(edited((document) => document.rigs.reverse())).toContain('rig-b');
});

it('takes a group out with its key, and begins a file that is empty', () => {
  expect(edited((document) => delete document.rigs[0].nozzle)).not.toContain('nozzle');
  expect(parse(editSiteYaml('', { site: { id: 'a' } }))).toEqual({ site: { id: 'a' } });
});
