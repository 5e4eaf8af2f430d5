import type { Language } from '../shift/language.ts';
import { tellInSpanish } from './es-told.ts';

/** Potside's own sentences by language: of the alarm table, the steps, the catalogue. What a site or a person wrote stands as it was written. */
export const TELL: Readonly<Record<Language, (sentence: string) => string>> = { en: (sentence) => sentence, es: tellInSpanish };
