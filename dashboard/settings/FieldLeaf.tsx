import { useId, useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import type { Path } from './draft.ts';
import { type SchemaNode, choicesOf, fieldKind, readTyped, writeTyped } from './schema.ts';
import { useDraft } from './use-settings.ts';

export interface FieldLeafProps {
  readonly node: SchemaNode;
  readonly path: Path;
  readonly isNeeded: boolean;
  /** Instead of the name of the field. */
  readonly label?: string;
  /** What it would be if it is left out. */
  readonly otherwise?: string;
}

/** One field of the file: typed as it stands there, with what it takes and what is wrong with it. */
export function FieldLeaf({ node, path, isNeeded, label, otherwise }: FieldLeafProps) {
  const { words } = useSeat();
  const told = words.settingsScreen;
  const draft = useDraft();
  const own = useId();
  const kind = fieldKind(node) ?? 'text';
  const value = draft.get(path);
  const problem = draft.problems.get(path.join('.')) ?? null;
  // A list of words keeps its commas while it is typed.
  const [text, setText] = useState<string | null>(null);
  const shown = text ?? writeTyped(kind, value);
  const type = (next: string): void => {
    setText(next);
    draft.set(path, readTyped(kind, next));
  };
  const fallback = otherwise ?? (node.default === undefined ? '' : writeTyped(kind, node.default));
  const common = { id: own, 'data-testid': `set-${path.join('.')}`, 'aria-invalid': problem !== null || undefined, 'aria-describedby': `${own}-more`, value: shown, onBlur: () => setText(null) };
  const choices = kind === 'yes-no' ? (['true', 'false'] as const).map((one) => [one, one === 'true' ? told.yes : told.no] as const) : choicesOf(node).map((one) => [one, told.choices[one] ?? one] as const);
  const none = fallback === '' ? told.unset : told.otherwise(choices.find(([id]) => id === fallback)?.[1] ?? fallback);
  return (
    <div className="leaf" data-changed={draft.changes.some(({ field }) => field === changedName(draft.document, path)) || undefined}>
      <label className="leaf__label" htmlFor={own}>
        {label ?? told.label(String(path.at(-1) ?? ''))}
        {isNeeded ? <span className="leaf__needed"> {told.needed}</span> : null}
      </label>
      {kind === 'choice' || kind === 'yes-no' ? (
        <select {...common} disabled={!draft.mayEdit} onChange={(event) => type(event.target.value)}>
          {isNeeded ? null : <option value="">{none}</option>}
          {choices.map(([id, said]) => (
            <option key={id} value={id}>
              {said}
            </option>
          ))}
        </select>
      ) : kind === 'lines' ? (
        <textarea {...common} rows={2} readOnly={!draft.mayEdit} onChange={(event) => type(event.target.value)} />
      ) : (
        <input {...common} autoComplete="off" spellCheck={false} placeholder={fallback} readOnly={!draft.mayEdit} onChange={(event) => type(event.target.value)} />
      )}
      <p className="leaf__more" id={`${own}-more`} data-wrong={problem !== null || undefined}>
        {problem ?? told.hint(node.description ?? '', kind)}
      </p>
    </div>
  );
}

/** As `documentChanges` names it: entries of lists by their own name. */
function changedName(document: unknown, path: Path): string {
  let at = document;
  return path
    .map((step) => {
      at = (at as Readonly<Record<string | number, unknown>> | undefined)?.[step];
      return typeof step === 'number' ? ((at as { id?: string; name?: string } | undefined)?.id ?? (at as { name?: string } | undefined)?.name ?? step) : step;
    })
    .join('.');
}
