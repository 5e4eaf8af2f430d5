import type { Language } from '../shift/language.ts';
import { notices as en } from './en-notices.ts';
import { notices as es } from './es-notices.ts';
import type { InAnyLanguage } from './in-any-language.ts';

export type NoticeWords = InAnyLanguage<typeof en>;
export const NOTICE_WORDS: Readonly<Record<Language, NoticeWords>> = { en, es };
