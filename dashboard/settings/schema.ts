import { z } from 'zod';
import { siteYamlSchema } from '../../domain/wire/site-yaml.ts';

/** A field as the file's own schema has it: the forms are drawn from it, so that no field can be missing here. */
export interface SchemaNode {
  readonly type?: string;
  readonly anyOf?: readonly SchemaNode[];
  readonly const?: string;
  readonly enum?: readonly string[];
  readonly default?: unknown;
  readonly description?: string;
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly additionalProperties?: SchemaNode | boolean;
  readonly items?: SchemaNode;
}

export const SITE_SCHEMA = z.toJSONSchema(siteYamlSchema, { io: 'input', unrepresentable: 'any', target: 'draft-7' }) as SchemaNode;

export type FieldKind = 'choice' | 'yes-no' | 'number' | 'texts' | 'lines' | 'text';

/** How a single field is filled in; null for groups and lists of groups. */
export function fieldKind(node: SchemaNode): FieldKind | null {
  if (node.properties || typeof node.additionalProperties === 'object') return null;
  if (node.enum || node.const !== undefined) return 'choice';
  if (node.type === 'boolean') return 'yes-no';
  if (node.type === 'integer' || node.type === 'number') return 'number';
  if (node.type === 'array') return node.items?.properties ? null : 'texts';
  if (node.anyOf?.some(({ type }) => type === 'array')) return 'lines';
  return 'text';
}

/** What the field takes: shown beside it. */
export function choicesOf(node: SchemaNode): readonly string[] {
  return node.enum ?? (node.const === undefined ? [] : [node.const]);
}

/** What was typed, as the file holds it; undefined where the field is left out. */
export function readTyped(kind: FieldKind, text: string): unknown {
  const said = text.trim();
  if (said === '') return undefined;
  if (kind === 'yes-no') return said === 'true';
  if (kind === 'number') return Number.isFinite(Number(said)) ? Number(said) : said;
  if (kind === 'texts') return said.split(',').map((part) => part.trim()).filter((part) => part !== '');
  if (kind === 'lines') return ((lines) => (lines.length === 1 ? lines[0] : lines))(said.split('\n').map((line) => line.trim()).filter((line) => line !== ''));
  return said;
}

/** The other way round. */
export function writeTyped(kind: FieldKind, value: unknown): string {
  if (value === undefined || value === null) return '';
  if (Array.isArray(value)) return value.join(kind === 'texts' ? ', ' : '\n');
  return typeof value === 'string' ? value : JSON.stringify(value);
}
