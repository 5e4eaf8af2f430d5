import { useEffect, useState } from 'react';
import type { Language } from '../../domain/shift/language.ts';
import { fetchWords } from '../words/languages.ts';
import { type Words, en } from '../words/en.ts';

/** The words of a language. Null until they are there; what was shown before stays meanwhile, and English where they can't be fetched. */
export function useWords(language: Language): Words | null {
  const [words, setWords] = useState<Words | null>(language === 'en' ? en : null);
  useEffect(() => {
    let isPast = false;
    void fetchWords(language)
      .catch(() => en)
      .then((fetched) => {
        if (!isPast) setWords(fetched);
      });
    return () => {
      isPast = true;
    };
  }, [language]);
  return words;
}
