import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { Language } from '../../../domain/shift/language.ts';
import type { GapCause } from '../../../domain/shift/summary/coverage.ts';
import { REPORT_WORDS, type ReportWords } from '../../../domain/words/report-words.ts';
import { TELL } from '../../../domain/words/tell.ts';
import { TERMS, type Terms } from '../../../domain/words/terms.ts';

/** What a report is worded with. Names, notes and what else people wrote stand as they were written. */
export interface Voice {
  readonly language: Language;
  readonly words: ReportWords;
  readonly terms: Terms;
  /** A sentence of Potside's own, e.g. of the alarm table. */
  tell(sentence: string): string;
  point(id: string): string;
  cause(cause: GapCause): string;
}

export function voiceOf(language: Language): Voice {
  const [terms, tell] = [TERMS[language], TELL[language]];
  return {
    language,
    words: REPORT_WORDS[language],
    terms,
    tell,
    point: (id) => tell(findPointKind(id)?.label ?? id),
    cause(cause) {
      const reason = /^sensor: (.+)$/.exec(cause)?.[1];
      return reason === undefined ? tell(cause) : ((terms.reasons as Readonly<Record<string, string>>)[reason] ?? cause);
    },
  };
}
