import { Document, isCollection, isMap, isScalar, parseDocument } from 'yaml';
import { entryName, isGroup, isSame } from '../domain/wire/document-changes.ts';

type Path = readonly (string | number)[];

/** Longer lines would be folded by the library: what people wrote on one line stays there. */
const ON_ONE_LINE = { lineWidth: 0, flowCollectionPadding: true } as const;

/**
 * The text of `site.yaml` with another content. Only what differs is touched: comments, order and the way of writing of everything else
 * stay as they are. What is new is written the short way, a group of plain fields on one line.
 */
export function editSiteYaml(text: string, after: unknown): string {
  const document = parseDocument(text);
  if (document.contents === null) {
    const fresh: Document = new Document();
    fresh.contents = short(fresh, after);
    return fresh.toString(ON_ONE_LINE);
  }
  settle(document, [], document.toJS(), after);
  return document.toString(ON_ONE_LINE);
}

function settle(document: Document, path: Path, before: unknown, after: unknown): void {
  if (isSame(before, after)) return;
  if (after === undefined || after === null) return void document.deleteIn(path);
  if (isGroup(before) && isGroup(after) && isCollection(document.getIn(path, true))) {
    for (const name of new Set([...Object.keys(before), ...Object.keys(after)])) settle(document, [...path, name], before[name], after[name]);
    return;
  }
  if (Array.isArray(before) && Array.isArray(after) && settleList(document, path, before, after)) return;
  const isPlain = typeof after !== 'object';
  // A plain value goes into the node that is there, whose comment stays with it.
  if (isPlain && isScalar(document.getIn(path, true))) return document.setIn(path, after);
  document.setIn(path, isPlain ? after : short(document, after));
}

/** Entries with names: those that are gone are taken out, those that stayed are settled, new ones follow. False where the order changed. */
function settleList(document: Document, path: Path, before: readonly unknown[], after: readonly unknown[]): boolean {
  const names = after.map(entryName);
  const isNamed = !names.includes(null) && !before.map(entryName).includes(null) && new Set(names).size === names.length;
  const kept = before.filter((entry) => names.includes(entryName(entry)));
  if (!isNamed || !kept.every((entry, index) => entryName(entry) === names[index])) return false;
  for (let index = before.length - 1; index >= 0; index -= 1) if (!kept.includes(before[index])) document.deleteIn([...path, index]);
  after.forEach((entry, index) => (index < kept.length ? settle(document, [...path, index], kept[index], entry) : document.setIn([...path, index], short(document, entry))));
  return true;
}

/** A node for what is new: groups and lists of plain values on one line. */
function short(document: Document, value: unknown): ReturnType<Document['createNode']> {
  const node = document.createNode(value);
  const shorten = (one: unknown): void => {
    if (!isCollection(one)) return;
    const inner = one.items.map((item) => (isMap(one) ? (item as { value: unknown }).value : item));
    one.flow = inner.every((item) => isScalar(item) || (isCollection(item) && item.items.length === 0));
    inner.forEach(shorten);
  };
  shorten(node);
  return node;
}
