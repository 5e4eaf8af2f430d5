import type { Problem } from '../../domain/wire/problem.ts';

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

export const notFound = (what: string): ProblemError => new ProblemError(404, 'Not found', `there is no ${what}`);
export const conflict = (detail: string): ProblemError => new ProblemError(409, 'Refused', detail);
export const notSignedIn = (): ProblemError => new ProblemError(401, 'Not signed in', 'sign in first, or send a bearer token');
export const notAllowed = (what: string): ProblemError => new ProblemError(403, 'Not allowed', `your role does not allow to ${what}`);
