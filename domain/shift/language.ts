/** Languages that Potside speaks, by their code (ISO 639-1), each named in itself. One more is one more line, and the compiler asks for its words. */
export const LANGUAGES = { en: 'English', es: 'Español' } as const;
export type Language = keyof typeof LANGUAGES;
export const LANGUAGE_CODES = Object.keys(LANGUAGES) as [Language, ...Language[]];

export function isLanguage(code: unknown): code is Language {
  return typeof code === 'string' && Object.hasOwn(LANGUAGES, code);
}

/** The first of these language tags (BCP 47), the best first, that Potside speaks; English where it speaks none. */
export function languageOf(preferred: readonly string[]): Language {
  for (const tag of preferred) {
    const code = tag.toLowerCase().split('-')[0];
    if (isLanguage(code)) return code;
  }
  return 'en';
}
