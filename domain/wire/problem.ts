/** RFC 9457 problem details: every error the API answers with. */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  /** Where input was refused: a field, header or topic, and what was expected. */
  readonly errors?: readonly { readonly field: string; readonly found: string; readonly expected: string }[];
}
