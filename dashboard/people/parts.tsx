import { type ReactNode, useId } from 'react';
import { formatClock } from '../format/clock.ts';
import { formatDate } from '../format/day.ts';
import type { Asked } from '../hooks/use-answer.ts';
import { useSeat } from '../hooks/desk-context.ts';
import type { Words } from '../words/en.ts';

/** A part of the screen with its heading. */
export function Panel({ title, testId, children }: { readonly title: string; readonly testId: string; readonly children: ReactNode }) {
  const id = useId();
  return (
    <section className="panel" aria-labelledby={id} data-testid={testId}>
      <h2 id={id}>{title}</h2>
      {children}
    </section>
  );
}

/** A list from the server, or why there is none. */
export function Fetched<T>({ asked, children }: { readonly asked: Asked<T>; readonly children: (body: T) => ReactNode }) {
  const { words } = useSeat();
  if (asked.failure !== null) return <p role="alert">{words.people.missing(asked.failure)}</p>;
  return asked.body === null ? <p role="status">{words.people.loading}</p> : <>{children(asked.body)}</>;
}

/** What went wrong; takes no room while nothing did. */
export function Failure({ text }: { readonly text: string }) {
  return (
    <p className="alarm__failure" role="alert">
      {text}
    </p>
  );
}

export interface TextProps {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly type?: 'text' | 'password' | 'email' | 'time' | 'date' | 'search';
  readonly autoComplete?: string;
  readonly inputMode?: 'numeric';
  readonly maxLength?: number;
  readonly placeholder?: string;
}

export function Text({ label, value, onChange, type = 'text', autoComplete = 'off', ...rest }: TextProps) {
  return (
    <label className="field">
      {label}
      <input type={type} value={value} autoComplete={autoComplete} autoCapitalize="none" spellCheck={false} onChange={(event) => onChange(event.target.value)} {...rest} />
    </label>
  );
}

/** Day and time of an instant in the zone of the site that is looked at. */
export function whenText(at: string, zone: string, words: Words): string {
  const ms = Date.parse(at);
  return `${formatDate(ms, zone, words)}, ${formatClock(ms, zone, false)}`;
}

/** The day of an instant, for what lasts for months. */
export function dayText(at: string, zone: string, words: Words): string {
  return formatDate(Date.parse(at), zone, words);
}
