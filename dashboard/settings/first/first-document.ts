import type { SiteDocument } from '../../api/settings.ts';
import { problemsOf } from '../use-settings.ts';

/** What the first two steps ask for, as typed. */
export const FIRST_FIELDS = ['siteName', 'siteId', 'zone', 'elevation', 'law', 'rigName', 'vessel', 'hoseBore', 'hoseLength', 'nozzle', 'wanted', 'respirator', 'compressor', 'compressorPressure'] as const;
export type FirstField = (typeof FIRST_FIELDS)[number];
export type FirstDraft = Readonly<Record<FirstField, string>>;

/** Where each stands in the file. */
const PLACES: Readonly<Record<FirstField, string>> = {
  siteName: 'site.name',
  siteId: 'site.id',
  zone: 'site.zone',
  elevation: 'site.elevation',
  law: 'regime',
  rigName: 'rigs.0.name',
  vessel: 'rigs.0.vessel.rated-pressure',
  hoseBore: 'rigs.0.hose.bore',
  hoseLength: 'rigs.0.hose.length',
  nozzle: 'rigs.0.nozzle.bore',
  wanted: 'rigs.0.wanted.nozzle-pressure',
  respirator: 'rigs.0.respirator.pressure',
  compressor: 'compressors.0.rated-flow',
  compressorPressure: 'compressors.0.rated-pressure',
};

/** `Quay 4 gates` → `quay-4-gates`: in topics and the record. */
export function idOf(name: string): string {
  return name.normalize('NFKD').replaceAll(/\p{M}/gu, '').toLowerCase().replaceAll(/[^a-z0-9]+/g, '-').replaceAll(/^-+|-+$/g, '').slice(0, 32).replace(/-+$/, '');
}

/** The first file, of what was typed; what was left empty is left out. */
export function firstDocument(draft: FirstDraft): SiteDocument {
  const said = (field: FirstField): string | undefined => (draft[field].trim() === '' ? undefined : draft[field].trim());
  const group = (fields: Readonly<Record<string, string | undefined>>): Readonly<Record<string, string>> | undefined => {
    const there = Object.entries(fields).filter((entry): entry is [string, string] => entry[1] !== undefined);
    return there.length === 0 ? undefined : Object.fromEntries(there);
  };
  const rigName = said('rigName') ?? '';
  const rig = {
    id: idOf(rigName) || 'rig-1',
    name: rigName,
    vessel: group({ 'rated-pressure': said('vessel') }),
    hose: group({ bore: said('hoseBore'), length: said('hoseLength') }),
    nozzle: group({ bore: said('nozzle') }),
    respirator: group({ pressure: said('respirator') }),
    wanted: group({ 'nozzle-pressure': said('wanted') }),
  };
  const compressor = group({ 'rated-flow': said('compressor'), 'rated-pressure': said('compressorPressure') });
  return withoutEmpty({
    site: { id: said('siteId') ?? '', name: said('siteName') ?? '', zone: said('zone') ?? '', elevation: said('elevation') },
    regime: draft.law === 'EN' ? 'EN' : undefined,
    compressors: compressor ? [{ id: 'compressor-1', name: 'Compressor 1', ...compressor, serves: [rig.id] }] : undefined,
    rigs: [rig],
  });
}

/** What is wrong, by the field it was typed into. */
export function firstProblems(draft: FirstDraft): ReadonlyMap<FirstField, string> {
  const problems = problemsOf(firstDocument(draft));
  return new Map(FIRST_FIELDS.flatMap((field) => ((problem) => (problem === undefined ? [] : [[field, problem] as const]))(problems.get(PLACES[field]))));
}

function withoutEmpty(value: unknown): SiteDocument {
  return JSON.parse(JSON.stringify(value)) as SiteDocument;
}
