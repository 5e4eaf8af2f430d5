/** A place in the document: keys and indexes from its root. */
export type Path = readonly (string | number)[];

/** What stands at a place; undefined where nothing does. */
export function getAt(document: unknown, path: Path): unknown {
  return path.reduce<unknown>((at, step) => (typeof at === 'object' && at !== null ? (at as Readonly<Record<string | number, unknown>>)[step] : undefined), document);
}

/**
 * The document with another value at a place; undefined takes the field away, and groups that are empty by that go with it: a hose
 * without bore and length is no hose. The document itself is not touched.
 */
export function setAt(document: unknown, path: Path, value: unknown): Readonly<Record<string, unknown>> {
  return (put(document, path, value) ?? {}) as Readonly<Record<string, unknown>>;
}

function put(held: unknown, path: Path, value: unknown): unknown {
  const [step, ...rest] = path;
  if (step === undefined) return value;
  const inner = put(getAt(held, [step]), rest, value);
  if (typeof step === 'number') {
    const list = Array.isArray(held) ? (held as readonly unknown[]) : [];
    return inner === undefined ? list.toSpliced(step, 1) : list.toSpliced(step, 1, inner);
  }
  const group = (typeof held === 'object' && held !== null ? held : {}) as Readonly<Record<string, unknown>>;
  if (inner !== undefined) return { ...group, [step]: inner };
  const { [step]: _gone, ...others } = group;
  return Object.keys(others).length === 0 ? undefined : others;
}
