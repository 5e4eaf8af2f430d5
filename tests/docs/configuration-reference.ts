import { z } from 'zod';
import { siteYamlSchema } from '../../domain/wire/site-yaml.ts';

interface Node {
  readonly type?: string;
  readonly anyOf?: readonly Node[];
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly pattern?: string;
  readonly format?: string;
  readonly default?: unknown;
  readonly description?: string;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, Node>>;
  readonly additionalProperties?: Node | boolean;
  readonly items?: Node;
}

/** Every field of site.yaml as the schema has it: one row a field. */
export function configurationTable(): string {
  const root = z.toJSONSchema(siteYamlSchema, { io: 'input', unrepresentable: 'any', target: 'draft-7' }) as Node;
  return ['| field | what is written | default |', '|---|---|---|', ...rows('', root)].join('\n');
}

function rows(path: string, node: Node): string[] {
  const own = Object.entries(node.properties ?? {}).flatMap(([name, child]) => {
    const at = path === '' ? name : `${path}.${name}`;
    return [`| \`${at}\` | ${escape(what(child))} | ${fallback(node, name, child)} |`, ...rows(at, child)];
  });
  const others = typeof node.additionalProperties === 'object' ? rows(`${path}.<name>`, node.additionalProperties) : [];
  return [...own, ...others, ...(node.items ? rows(`${path}[]`, node.items) : [])];
}

function fallback(parent: Node, name: string, child: Node): string {
  if (child.default !== undefined) return `\`${escape(JSON.stringify(child.default))}\``;
  return parent.required?.includes(name) ? '**must be given**' : 'none';
}

function what(node: Node): string {
  const said = node.description ? `${node.description}; ` : '';
  if (node.const !== undefined) return `${said}\`${JSON.stringify(node.const).replaceAll('"', '')}\``;
  if (node.enum) return said + node.enum.map((value) => `\`${String(value)}\``).join(', ');
  if (node.anyOf) return node.description ?? [...new Set(node.anyOf.map(what))].join(' or ');
  if (node.type === 'array') return `${said}a list${node.items?.type && node.items.type !== 'object' ? ` of ${what(node.items)}` : ''}`;
  if (node.type === 'object') return `${said}${node.properties ? 'a group' : 'by name'}`;
  if (node.type === 'integer' || node.type === 'number') return `${said}a number${bounds(node)}`;
  if (node.type === 'boolean') return `${said}true or false`;
  if (node.format === 'email') return `${said}an e-mail address`;
  if (node.type !== 'string') return node.description ?? 'as docs/configuration.md says';
  return `${said}text${node.pattern ? `, \`${node.pattern}\`` : ''}`;
}

function bounds({ minimum, maximum }: Node): string {
  const isTold = (bound: number | undefined): bound is number => bound !== undefined && Math.abs(bound) < Number.MAX_SAFE_INTEGER;
  return isTold(minimum) && isTold(maximum) ? `, ${minimum} to ${maximum}` : isTold(minimum) ? `, from ${minimum}` : '';
}

function escape(text: string): string {
  return text.replaceAll('|', '\\|');
}
