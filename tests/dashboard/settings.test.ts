import { describe, expect, it } from 'vitest';
import { getAt, setAt } from '../../dashboard/settings/draft.ts';
import { FIRST_FIELDS, type FirstDraft, firstDocument, firstProblems, idOf } from '../../dashboard/settings/first/first-document.ts';
import { pickable, sourceOf } from '../../dashboard/settings/points/source-of.ts';
import { fieldKind, readTyped, SITE_SCHEMA, type SchemaNode, writeTyped } from '../../dashboard/settings/schema.ts';
import { settingsScreen as english } from '../../dashboard/words/en-settings.ts';
import { settingsScreen as spanish } from '../../dashboard/words/es-settings.ts';
import type { Arriving } from '../../dashboard/api/settings.ts';
import { documentChanges } from '../../domain/wire/document-changes.ts';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';

const DOCUMENT = { site: { id: 'quay-4' }, rigs: [{ id: 'rig-a', hose: { bore: '32mm', length: '30m' } }, { id: 'rig-b' }], alarms: { 'co-rising': { limit: '4ppm' } } };

describe('a draft', () => {
  it('takes a value anywhere, leaves the rest alone, and what is emptied goes with its group', () => {
    expect(setAt(DOCUMENT, ['rigs', 1, 'nozzle', 'bore'], '11mm')).toEqual({ ...DOCUMENT, rigs: [DOCUMENT.rigs[0], { id: 'rig-b', nozzle: { bore: '11mm' } }] });
    expect(setAt(DOCUMENT, ['alarms', 'co-rising', 'limit'], undefined)).toEqual({ site: DOCUMENT.site, rigs: DOCUMENT.rigs });
    expect(getAt(setAt(DOCUMENT, ['rigs', 0, 'hose', 'bore'], undefined), ['rigs', 0, 'hose'])).toEqual({ length: '30m' });
    expect(getAt(setAt(DOCUMENT, ['rigs', 0], undefined), ['rigs'])).toEqual([{ id: 'rig-b' }]);
    expect(getAt(setAt(DOCUMENT, ['compressors', 0], { id: 'c' }), ['compressors'])).toEqual([{ id: 'c' }]);
    expect(DOCUMENT.rigs[0]?.hose?.bore).toBe('32mm');
  });

  it('is told field by field, entries by their own name', () => {
    const after = { ...DOCUMENT, rigs: [DOCUMENT.rigs[1], { id: 'rig-c', name: 'Rig C' }], regime: 'EN' };
    expect(documentChanges(DOCUMENT, after)).toEqual([
      { field: 'rigs.rig-a.id', old: 'rig-a', new: null },
      { field: 'rigs.rig-a.hose.bore', old: '32mm', new: null },
      { field: 'rigs.rig-a.hose.length', old: '30m', new: null },
      { field: 'rigs.rig-c.id', old: null, new: 'rig-c' },
      { field: 'rigs.rig-c.name', old: null, new: 'Rig C' },
      { field: 'regime', old: null, new: 'EN' },
    ]);
    expect(documentChanges(DOCUMENT, structuredClone(DOCUMENT))).toEqual([]);
  });
});

/** Names of all fields of the file, wherever they stand. */
function names(node: SchemaNode): string[] {
  const inner = [...Object.values(node.properties ?? {}), ...(node.items ? [node.items] : []), ...(typeof node.additionalProperties === 'object' ? [node.additionalProperties] : [])];
  return [...Object.keys(node.properties ?? {}), ...inner.flatMap(names)];
}

describe('the forms', () => {
  it('have a word for every field of the file, in both languages', () => {
    const all = [...new Set(names(SITE_SCHEMA))];
    expect(all.length).toBeGreaterThan(60);
    expect(all.filter((name) => english.label(name) === '')).toEqual([]);
    // What stands there as it is in the file is left out on purpose: names of parts that have a heading of their own.
    expect(all.filter((name) => spanish.label(name) === name)).toEqual(['site', 'compressors', 'rigs', 'points', 'alarms']);
  });

  it('write what they read', () => {
    const cases = [
      [{ type: 'boolean' }, 'true', true],
      [{ type: 'integer' }, '587', 587],
      [{ type: 'integer' }, 'many', 'many'],
      [{ type: 'array', items: { type: 'string' } }, 'rig-a, rig-b', ['rig-a', 'rig-b']],
      [{ anyOf: [{ type: 'string' }, { type: 'array' }] }, 'Read the tag.\nSign it.', ['Read the tag.', 'Sign it.']],
      [{ anyOf: [{ type: 'string' }, { type: 'array' }] }, 'Read the tag.', 'Read the tag.'],
      [{ type: 'string' }, '7/16in', '7/16in'],
      [{ type: 'string' }, '  ', undefined],
    ] as const;
    for (const [node, text, value] of cases) {
      const kind = fieldKind(node) ?? 'text';
      expect(readTyped(kind, text)).toEqual(value);
      expect(readTyped(kind, writeTyped(kind, value))).toEqual(value);
    }
  });
});

it('a topic that is picked becomes the source the file takes', () => {
  const heard = (form: Arriving['form'], topic: string, fields: Arriving['fields'] = []): Arriving => ({ topic, form, fields, count: 1, perMinute: 0, at: '', sample: '', feeds: [], trouble: null });
  const json = heard('json', 'line/pt-101', [{ at: '/ts', value: '1764061200' }, { at: '/p', value: '96.4' }]);
  expect(pickable(json)).toEqual([{ at: '/p', value: '96.4' }]);
  const points = {
    'supply-pressure': sourceOf(json, '/p'),
    'breathing-air-co': sourceOf(heard('number', 'gas/7'), ''),
    'steel-temperature': sourceOf(heard('senml', 'steel'), 'urn:dev:1:t'),
    'pot-pressure': sourceOf(heard('sparkplug', 'spBv1.0/line/DDATA/edge-1/pot'), 'Pressure'),
  };
  expect(points['supply-pressure']).toEqual({ topic: 'line/pt-101', payload: 'json', value: '/p', time: '/ts' });
  expect(points['pot-pressure']).toEqual({ topic: 'line/edge-1/pot', payload: 'sparkplug', metric: 'Pressure' });
  expect(parseSiteConfig({ site: { id: 'q', name: 'Q', zone: 'UTC' }, rigs: [{ id: 'rig-a', points }] })).toHaveProperty('config');
});

it('the first run makes a file that is taken, leaves out what is not known, and says what is wrong where it was typed', () => {
  const empty = Object.fromEntries(FIRST_FIELDS.map((field) => [field, ''])) as FirstDraft;
  const draft = { ...empty, siteName: 'Quay 4 gates', siteId: idOf('Quay 4 gates'), zone: 'America/Chicago', rigName: 'Rig A', nozzle: '7/16in', compressor: '750cfm' };
  expect(firstDocument(draft)).toEqual({
    site: { id: 'quay-4-gates', name: 'Quay 4 gates', zone: 'America/Chicago' },
    compressors: [{ id: 'compressor-1', name: 'Compressor 1', 'rated-flow': '750cfm', serves: ['rig-a'] }],
    rigs: [{ id: 'rig-a', name: 'Rig A', nozzle: { bore: '7/16in' } }],
  });
  expect([...firstProblems(draft)]).toEqual([]);
  expect([...firstProblems({ ...draft, siteName: '', vessel: '125' }).keys()]).toEqual(['siteName', 'vessel']);
  expect(idOf('  Dock Nº 9 — Ünder crane ')).toBe('dock-no-9-under-crane');
});
