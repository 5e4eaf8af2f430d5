import { jsonDepth } from '../../host/json-depth.ts';
import type { Api } from './context.ts';
import { ProblemError } from './problem-error.ts';

/** Deeper than any request of ours. */
const MAX_DEPTH = 16;

/** JSON bodies: bounded in depth before they are parsed; keys that reach for a prototype are refused. */
export function takeJson(app: Api): void {
  const parse = app.getDefaultJsonParser('error', 'error');
  app.removeContentTypeParser('application/json');
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (request, body, done) => {
    const text = body as string;
    // A request that may have no body may say so with an empty one.
    if (text === '') return done(null, undefined);
    if (jsonDepth(text) > MAX_DEPTH) return done(new ProblemError(400, 'Bad request', `body: nested more than ${MAX_DEPTH} levels deep`));
    void parse(request, text, done);
  });
}
