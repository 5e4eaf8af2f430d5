import type { UnitSystem } from '../format/units.ts';
import { type Language, isLanguage, languageOf } from '../../domain/shift/language.ts';

export const THEMES = ['light', 'dark', 'sun'] as const;
export type Theme = (typeof THEMES)[number];

export const PLACES = ['office', 'rig'] as const;
export type Place = (typeof PLACES)[number];

/** Whose time of day a recorded shift is read in. */
export const ZONE_CHOICES = ['site', 'utc', 'device'] as const;
export type ZoneChoice = (typeof ZONE_CHOICES)[number];

/** What a person chose on this device. */
export interface Preferences {
  readonly units: UnitSystem;
  readonly theme: Theme;
  /** Where this device stands: a word given at the rig silences the rig, one from elsewhere does not. */
  readonly place: Place;
  readonly zone: ZoneChoice;
  readonly language: Language;
}

const KEY = 'potside.preferences';
const DEFAULTS: Omit<Preferences, 'language'> = { units: 'us', theme: 'light', place: 'office', zone: 'site' };

/** As much of a browser's storage as is needed; a private window may refuse to give one. */
export interface Keep {
  getItem(key: string): string | null;
  setItem(key: string, text: string): void;
}

/** `preferred`: the languages that the device asks for, the best first; they decide until a person does. */
export function readPreferences(keep: Keep | null, preferred: readonly string[] = []): Preferences {
  const language = languageOf(preferred);
  try {
    const kept = JSON.parse(keep?.getItem(KEY) ?? '{}') as Partial<Preferences>;
    return {
      units: kept.units === 'si' || kept.units === 'us' ? kept.units : DEFAULTS.units,
      theme: THEMES.find((theme) => theme === kept.theme) ?? DEFAULTS.theme,
      place: PLACES.find((place) => place === kept.place) ?? DEFAULTS.place,
      zone: ZONE_CHOICES.find((zone) => zone === kept.zone) ?? DEFAULTS.zone,
      language: isLanguage(kept.language) ? kept.language : language,
    };
  } catch {
    return { ...DEFAULTS, language };
  }
}

export function writePreferences(keep: Keep | null, preferences: Preferences): void {
  try {
    keep?.setItem(KEY, JSON.stringify(preferences));
  } catch {
    // Full or forbidden storage: the choice holds until the page is closed.
  }
}
