import type { UnitSystem } from '../format/units.ts';

export const THEMES = ['light', 'dark', 'sun'] as const;
export type Theme = (typeof THEMES)[number];

/** What a person chose on this device. */
export interface Preferences {
  readonly units: UnitSystem;
  readonly theme: Theme;
}

const KEY = 'potside.preferences';
const DEFAULTS: Preferences = { units: 'us', theme: 'light' };

/** As much of a browser's storage as is needed; a private window may refuse to give one. */
export interface Keep {
  getItem(key: string): string | null;
  setItem(key: string, text: string): void;
}

export function readPreferences(keep: Keep | null): Preferences {
  try {
    const kept = JSON.parse(keep?.getItem(KEY) ?? '{}') as Partial<Preferences>;
    return {
      units: kept.units === 'si' || kept.units === 'us' ? kept.units : DEFAULTS.units,
      theme: THEMES.find((theme) => theme === kept.theme) ?? DEFAULTS.theme,
    };
  } catch {
    return DEFAULTS;
  }
}

export function writePreferences(keep: Keep | null, preferences: Preferences): void {
  try {
    keep?.setItem(KEY, JSON.stringify(preferences));
  } catch {
    // Full or forbidden storage: the choice holds until the page is closed.
  }
}
