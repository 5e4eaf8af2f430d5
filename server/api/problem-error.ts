import type { Problem } from '../../domain/wire/problem.ts';
import type { ConfigProblem } from '../../domain/wire/site-yaml.ts';

/** Thrown by a route; answered as RFC 9457 problem details. */
export class ProblemError extends Error {
  readonly status: number;
  readonly title: string;
  /** Where a program must tell this problem from others of its status. */
  readonly type: string;

  constructor(status: number, title: string, detail: string, type = 'about:blank') {
    super(detail);
    this.type = type;
    this.status = status;
    this.title = title;
  }

  toProblem(): Problem {
    return { type: this.type, title: this.title, status: this.status, detail: this.message };
  }
}

/** Fields of a document that are not as they should be: each is named with what was found and what was expected. */
export class InvalidInput extends ProblemError {
  readonly #errors: NonNullable<Problem['errors']>;

  constructor(problems: readonly ConfigProblem[], document: unknown) {
    const errors = problems.map(({ path, message }) => ({ field: path.join('.'), found: foundAt(document, path), expected: message }));
    super(400, 'Bad request', errors.map(({ field, found, expected }) => `${field}: ${expected}${found === '' ? '' : ` (found ${found})`}`).join('; '));
    this.#errors = errors;
  }

  override toProblem(): Problem {
    return { ...super.toProblem(), errors: this.#errors };
  }
}

function foundAt(document: unknown, path: ConfigProblem['path']): string {
  const found = path.reduce<unknown>((at, step) => (typeof at === 'object' && at !== null ? (at as Record<string | number, unknown>)[step] : undefined), document);
  return found === undefined || typeof found === 'object' ? '' : JSON.stringify(found);
}

export const notFound = (what: string): ProblemError => new ProblemError(404, 'Not found', `there is no ${what}`);
export const conflict = (detail: string): ProblemError => new ProblemError(409, 'Refused', detail);
export const notSignedIn = (): ProblemError => new ProblemError(401, 'Not signed in', 'sign in first, or send a bearer token');
export const notAllowed = (what: string): ProblemError => new ProblemError(403, 'Not allowed', `your role does not allow to ${what}`);
