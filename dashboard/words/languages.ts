import { type Words, en } from './en.ts';

/** Languages of the page by their code, each named in itself. One more is one more line, and an object of the type `Words`. */
export const LANGUAGES = { en: 'English', es: 'Español' } as const;
export type Language = keyof typeof LANGUAGES;
export const LANGUAGE_CODES = Object.keys(LANGUAGES) as readonly Language[];

export function isLanguage(code: unknown): code is Language {
  return typeof code === 'string' && Object.hasOwn(LANGUAGES, code);
}

/** English comes with the page, since something has to be readable at once; the others are fetched when they are asked for. */
const FETCHED: Readonly<Record<Exclude<Language, 'en'>, () => Promise<Words>>> = {
  es: async () => (await import('./es.ts')).es,
};

/** @throws where the words can't be fetched, e.g. while the server is out of reach. */
export async function fetchWords(language: Language): Promise<Words> {
  return language === 'en' ? en : FETCHED[language]();
}

/** The first language of this device that the page has; English where it has none. */
export function languageOfDevice(preferred: readonly string[]): Language {
  for (const tag of preferred) {
    const code = tag.toLowerCase().split('-')[0];
    if (isLanguage(code)) return code;
  }
  return 'en';
}
