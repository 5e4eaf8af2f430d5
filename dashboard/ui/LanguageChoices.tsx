import { LANGUAGES, LANGUAGE_CODES, type Language } from '../../domain/shift/language.ts';
import { Choices } from './Choices.tsx';

export interface LanguageChoicesProps {
  readonly legend: string;
  readonly chosen: Language;
  readonly onChoose: (language: Language) => void;
}

/** Each language by its own name: who can't read the others finds it. */
export function LanguageChoices({ legend, chosen, onChoose }: LanguageChoicesProps) {
  return <Choices legend={legend} name="language" chosen={chosen} options={LANGUAGE_CODES.map((code) => [code, LANGUAGES[code]])} onChoose={(code) => onChoose(code as Language)} />;
}
