import { parseQuantity } from '../../../domain/quantity/parse-quantity.ts';
import { SETUP_QUANTITIES, SETUP_TEXTS, type SetupQuantity, type SetupText, type ShiftSetup } from '../../api/shift-shapes.ts';
import { formatQuantity } from '../../format/quantity.ts';
import type { UnitSystem } from '../../format/units.ts';

/** A setup while it is being typed: quantities as text with their unit, as people write them. */
export type SetupDraft = Readonly<Record<SetupQuantity | SetupText, string>>;

export const EMPTY_DRAFT = Object.fromEntries([...SETUP_QUANTITIES, ...SETUP_TEXTS].map((name) => [name, ''])) as SetupDraft;

export function draftOf(setup: ShiftSetup, system: UnitSystem): SetupDraft {
  const quantities = SETUP_QUANTITIES.map((name) => [name, setup[name] ? formatQuantity(setup[name], system) : '']);
  return Object.fromEntries([...quantities, ...SETUP_TEXTS.map((name) => [name, setup[name] ?? ''])]) as SetupDraft;
}

/** What is written where nothing was told: from the words in which the site's configuration describes the rig. */
export function draftFromBuilt(built: string): SetupDraft {
  const nozzle = /([\d/ .]+(?:in|mm)) nozzle/.exec(built)?.[1];
  const hose = /([\d.]+ (?:ft|m)) of ([\d/ .]+(?:in|mm)) hose/.exec(built);
  return { ...EMPTY_DRAFT, nozzleBore: nozzle?.trim() ?? '', hoseLength: hose?.[1] ?? '', hoseBore: hose?.[2]?.trim() ?? '' };
}

/** A draft laid over another: what is empty in the first comes from the second. */
export function fillDraft(draft: SetupDraft, from: SetupDraft): SetupDraft {
  return Object.fromEntries(Object.entries(draft).map(([name, text]) => [name, text === '' ? from[name as keyof SetupDraft] : text])) as SetupDraft;
}

export type ReadDraft = { readonly setup: ShiftSetup } | { readonly wrong: SetupQuantity };

/** The setup as the server takes it, or the first field that is no length with its unit. `kept`: as recorded, for fields left as they stood. */
export function readDraft(draft: SetupDraft, system: UnitSystem, kept: ShiftSetup = {}): ReadDraft {
  const setup: Record<string, unknown> = {};
  for (const name of SETUP_QUANTITIES) {
    const text = draft[name].trim();
    const was = kept[name] ?? null;
    // What nobody touched goes back as exactly as it came, not as it was rounded for reading.
    if (was && text === formatQuantity(was, system)) setup[name] = was;
    else if (text === '') setup[name] = null;
    else {
      const read = readLength(text);
      if (!read) return { wrong: name };
      setup[name] = read;
    }
  }
  for (const name of SETUP_TEXTS) setup[name] = draft[name].trim();
  return { setup };
}

function readLength(text: string): { value: number; unit: string } | null {
  try {
    const { value, unit } = parseQuantity(text, 'length');
    return value > 0 ? { value, unit: unit.code } : null;
  } catch {
    return null;
  }
}
