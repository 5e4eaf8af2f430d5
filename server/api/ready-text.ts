import { EVENT_WORDS, type ReadyEvent } from '../../domain/shift/readiness/step.ts';
import { stepsOf } from '../../domain/shift/readiness/steps-of.ts';

type Detail = Readonly<Record<string, unknown>>;

const LIST_WORDS: Readonly<Record<string, string>> = { before: 'check before blasting', shutdown: 'shutdown', unblocking: 'unblocking' };
const TITLES: ReadonlyMap<string, string> = new Map(stepsOf().map(({ id, title }) => [id, title]));

/** What somebody did in the check, from a row of the journal. A step of the site's own goes by its id. */
export function readyText(detail: Detail): string {
  const step = TITLES.get(String(detail['step'])) ?? String(detail['step']);
  const evidence = Array.isArray(detail['evidence']) ? (detail['evidence'] as string[]).join('; ') : '';
  const rest = [detail['note'], detail['text'], evidence].filter((part): part is string => typeof part === 'string' && part !== '').join('; ');
  switch (detail['kind']) {
    case 'ready-sign':
      return `${step}: signed${rest === '' ? '' : ` (${rest})`}`;
    case 'ready-fail':
      return `${step}: not so${rest === '' ? '' : ` (${rest})`}`;
    case 'ready-again':
      return `due again: ${EVENT_WORDS[detail['event'] as ReadyEvent]}`;
    case 'ready-hold':
      return detail['start'] === true ? 'hold test begun' : 'hold test stopped';
    case 'ready-begin':
      return `${LIST_WORDS[String(detail['sequence'])] ?? 'list'} begun`;
    default:
      return rest === '' ? 'released' : `released (${rest})`;
  }
}
