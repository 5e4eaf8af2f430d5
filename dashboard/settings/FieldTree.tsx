import { useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { FieldLeaf } from './FieldLeaf.tsx';
import { type Path, getAt } from './draft.ts';
import { type SchemaNode, fieldKind } from './schema.ts';
import { useDraft } from './use-settings.ts';

export interface FieldTreeProps {
  readonly node: SchemaNode;
  readonly path: Path;
  /** Fields that have a place of their own elsewhere. */
  readonly omit?: readonly string[];
}

/** Every field under a place of the file, drawn from the schema: single ones first, then groups, lists and what goes by name. */
export function FieldTree({ node, path, omit = [] }: FieldTreeProps) {
  const fields = Object.entries(node.properties ?? {}).filter(([name]) => !omit.includes(name));
  const leaves = fields.filter(([, child]) => fieldKind(child) !== null);
  const groups = fields.filter(([, child]) => fieldKind(child) === null);
  return (
    <>
      {leaves.length === 0 ? null : (
        <div className="leaves">
          {leaves.map(([name, child]) => (
            <FieldLeaf key={name} node={child} path={[...path, name]} isNeeded={node.required?.includes(name) ?? false} />
          ))}
        </div>
      )}
      {groups.map(([name, child]) => (
        <FieldGroup key={name} node={child} path={[...path, name]} />
      ))}
    </>
  );
}

/** A group, a list of groups, or groups by name, under their heading. */
export function FieldGroup({ node, path }: { node: SchemaNode; path: Path }) {
  const { words } = useSeat();
  const legend = words.settingsScreen.label(String(path.at(-1) ?? ''));
  return (
    <fieldset className="group" data-testid={`group-${path.join('.')}`}>
      <legend>{legend}</legend>
      {node.items ? <FieldList node={node.items} path={path} /> : typeof node.additionalProperties === 'object' ? <FieldNames node={node.additionalProperties} path={path} /> : <FieldTree node={node} path={path} />}
    </fieldset>
  );
}

/** A list of groups: each can be taken out, another added behind them. */
export function FieldList({ node, path, omit = [] }: { node: SchemaNode; path: Path; omit?: readonly string[] }) {
  const draft = useDraft();
  const { words } = useSeat();
  const told = words.settingsScreen;
  const held = draft.get(path);
  const entries = Array.isArray(held) ? (held as readonly unknown[]) : [];
  return (
    <>
      {entries.map((entry, index) => {
        const name = nameOf(entry) ?? told.entry(index + 1);
        return (
          <section key={index} className="entry" data-testid={`entry-${[...path, index].join('.')}`} aria-label={name}>
            <div className="entry__head">
              <h3>{name}</h3>
              <TakeOut name={name} onTake={() => draft.set([...path, index], undefined)} />
            </div>
            <FieldTree node={node} path={[...path, index]} omit={omit} />
          </section>
        );
      })}
      {draft.mayEdit ? (
        <button type="button" className="action action--quiet" data-testid={`add-${path.join('.')}`} onClick={() => draft.set([...path, entries.length], {})}>
          {told.add}
        </button>
      ) : null}
    </>
  );
}

/** Groups, or lists of them, that go by a name of the site's own. */
function FieldNames({ node, path }: { node: SchemaNode; path: Path }) {
  const draft = useDraft();
  const { words } = useSeat();
  const told = words.settingsScreen;
  const [name, setName] = useState('');
  const held = (draft.get(path) ?? {}) as Readonly<Record<string, unknown>>;
  const fresh = name.trim();
  const add = (): void => {
    if (fresh === '' || getAt(held, [fresh]) !== undefined) return;
    draft.set([...path, fresh], node.items ? [{}] : {});
    setName('');
  };
  return (
    <>
      {Object.keys(held).map((key) => (
        <section key={key} className="entry" aria-label={key}>
          <div className="entry__head">
            <h3>{told.choices[key] ?? key}</h3>
            <TakeOut name={key} onTake={() => draft.set([...path, key], undefined)} />
          </div>
          {node.items ? <FieldList node={node.items} path={[...path, key]} /> : <FieldTree node={node} path={[...path, key]} />}
        </section>
      ))}
      {draft.mayEdit ? (
        <div className="entry__new">
          <label className="field">
            {told.newName}
            <input value={name} autoComplete="off" spellCheck={false} onChange={(event) => setName(event.target.value)} onKeyDown={(event) => event.key === 'Enter' && add()} />
          </label>
          <button type="button" className="action action--quiet" onClick={add}>
            {told.add}
          </button>
        </div>
      ) : null}
    </>
  );
}

/** Taking something out asks once more: it stands in one place, so that a glove does not do both. */
export function TakeOut({ name, onTake }: { name: string; onTake: () => void }) {
  const draft = useDraft();
  const { words } = useSeat();
  const told = words.settingsScreen;
  const [isAsked, setAsked] = useState(false);
  if (!draft.mayEdit) return null;
  return isAsked ? (
    <span className="entry__sure">
      <button type="button" className="action action--quiet" onClick={() => setAsked(false)}>
        {words.aside.cancel}
      </button>
      <button type="button" className="action" onClick={onTake}>
        {told.takeOutSure(name)}
      </button>
    </span>
  ) : (
    <button type="button" className="action action--quiet" aria-label={told.takeOutOf(name)} onClick={() => setAsked(true)}>
      {told.takeOut}
    </button>
  );
}

function nameOf(entry: unknown): string | null {
  const { name, id, title } = (entry ?? {}) as Readonly<Record<string, unknown>>;
  return [name, title, id].find((one): one is string => typeof one === 'string' && one !== '') ?? null;
}
