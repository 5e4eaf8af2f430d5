import type { LiveAlarm } from '../../domain/wire/live.ts';
import type { Words } from '../words/en.ts';

/** An alarm with the server's sentences in the reader's language. */
export function tellAlarm(alarm: LiveAlarm, { told }: Pick<Words, 'told'>): LiveAlarm {
  const { title, cause, consequence, response, respondWithin, suppressedBecause } = alarm;
  return {
    ...alarm,
    title: told(title),
    cause: told(cause),
    consequence: told(consequence),
    response: told(response),
    respondWithin: told(respondWithin),
    suppressedBecause: suppressedBecause === null ? null : told(suppressedBecause),
  };
}
