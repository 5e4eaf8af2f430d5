import type { Problem } from '../../domain/wire/problem.ts';

/** What the server answered, or why there is no answer. Nothing is thrown: a refusal is something to show. */
export type Answer<T> =
  | { readonly ok: true; readonly body: T }
  | { readonly ok: false; readonly status: number; readonly detail: string; /** Tells problems of one status apart. */ readonly type?: string };

/** An order that has waited longer than this must not be carried out late, behind the person's back. */
const TIMEOUT_MS = 8_000;

export interface Call {
  readonly method?: 'GET' | 'POST' | 'PUT' | 'DELETE';
  readonly body?: unknown;
  /** Orders only: see `idempotency-key.ts`. */
  readonly key?: string;
  /** Sent as it is, with its own type: a photo. */
  readonly blob?: Blob;
  /** Longer than usual only for what is known to take long and does no harm late. */
  readonly timeoutMs?: number;
}

export async function callApi<T>(path: string, call: Call = {}): Promise<Answer<T>> {
  try {
    const response = await fetch(path, {
      method: call.method ?? 'GET',
      signal: AbortSignal.timeout(call.timeoutMs ?? TIMEOUT_MS),
      headers: {
        accept: 'application/json',
        ...(call.body === undefined ? {} : { 'content-type': 'application/json' }),
        ...(call.blob === undefined ? {} : { 'content-type': call.blob.type }),
        ...(call.key === undefined ? {} : { 'idempotency-key': call.key }),
      },
      ...(call.blob === undefined ? {} : { body: call.blob }),
      ...(call.body === undefined ? {} : { body: JSON.stringify(call.body) }),
    });
    const text = await response.text();
    const body: unknown = text === '' ? null : safeParse(text);
    if (response.ok) return { ok: true, body: body as T };
    return { ok: false, status: response.status, detail: problemDetail(body), type: (body as Partial<Problem> | null)?.type ?? '' };
  } catch {
    // No connection, or no answer in time. 0 as in the browsers' own notion of no status.
    return { ok: false, status: 0, detail: '' };
  }
}

function safeParse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function problemDetail(body: unknown): string {
  const problem = (body ?? {}) as Partial<Problem>;
  return problem.detail ?? problem.title ?? '';
}
