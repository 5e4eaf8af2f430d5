import type { Language } from '../shift/language.ts';
import { terms as en } from './en-terms.ts';
import { terms as es } from './es-terms.ts';
import type { InAnyLanguage } from './in-any-language.ts';

export type Terms = InAnyLanguage<typeof en>;
export const TERMS: Readonly<Record<Language, Terms>> = { en, es };

/** A role as the record has it: one that no longer exists stands as it was written. */
export function roleName(role: string, language: Language): string {
  return (TERMS[language].roles as Readonly<Record<string, string>>)[role] ?? role;
}
