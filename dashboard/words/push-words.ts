import type { Language } from '../../domain/shift/language.ts';
import type { InAnyLanguage } from '../../domain/words/in-any-language.ts';
import { push as en } from './en-push.ts';
import { push as es } from './es-push.ts';

export type PushWords = InAnyLanguage<typeof en>;
/** All languages at once: the worker must show something at a time when nothing can be fetched. */
export const PUSH_WORDS: Readonly<Record<Language, PushWords>> = { en, es };
