import type { Language } from '../shift/language.ts';
import { report as en } from './en-report.ts';
import { report as es } from './es-report.ts';
import type { InAnyLanguage } from './in-any-language.ts';

export type ReportWords = InAnyLanguage<typeof en>;
export const REPORT_WORDS: Readonly<Record<Language, ReportWords>> = { en, es };
