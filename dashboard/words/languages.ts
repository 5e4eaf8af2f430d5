import type { Language } from '../../domain/shift/language.ts';
import { type Words, en } from './en.ts';

/** English comes with the page, since something has to be readable at once; the others are fetched when they are asked for. */
const FETCHED: Readonly<Record<Exclude<Language, 'en'>, () => Promise<Words>>> = {
  es: async () => (await import('./es.ts')).es,
};

/** @throws where the words can't be fetched, e.g. while the server is out of reach. */
export async function fetchWords(language: Language): Promise<Words> {
  return language === 'en' ? en : FETCHED[language]();
}
