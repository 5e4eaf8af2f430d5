import { readFileSync } from 'node:fs';
import { LineCounter, type Document, isNode, parseDocument } from 'yaml';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import { type ConfigProblem, parseSiteConfig } from '../domain/wire/site-yaml.ts';
import { UserError } from './user-error.ts';

/** Reads `site.yaml`. @throws UserError that lists every problem with file, line, field, what was found and what was expected. */
export function readSiteConfig(file: string): SiteConfig {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    throw new UserError(`can't read the configuration ${file}: ${(error as Error).message}`);
  }
  return parseSiteYaml(text, file);
}

/** As `readSiteConfig`, from text; `file` names it in errors. */
export function parseSiteYaml(text: string, file: string): SiteConfig {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, maxAliasCount: 0 } as Parameters<typeof parseDocument>[1]);
  const broken = document.errors[0];
  if (broken) throw new UserError(`${file}:${lines.linePos(broken.pos[0]).line}: ${broken.message.split('\n')[0] ?? 'not YAML'}`);
  const result = parseSiteConfig(document.toJS({ maxAliasCount: 0 }) as unknown);
  if ('config' in result) return result.config;
  throw new UserError(result.problems.map((problem) => describe(problem, document, lines, file)).join('\n'));
}

function describe(problem: ConfigProblem, document: Document, lines: LineCounter, file: string): string {
  const node = nearestNode(document, problem.path);
  const at = isNode(node) && node.range ? `:${lines.linePos(node.range[0]).line}` : '';
  const found = document.getIn(problem.path, false);
  const shown = found === undefined || typeof found === 'object' ? '' : ` (found ${JSON.stringify(found)})`;
  return `${file}${at}: ${problem.path.join('.') || 'document'}: ${problem.message}${shown}`;
}

/** The node of the path, or of its nearest parent where the field is missing. */
function nearestNode(document: Document, path: readonly (string | number)[]): unknown {
  for (let length = path.length; length > 0; length -= 1) {
    const node = document.getIn(path.slice(0, length), true);
    if (node !== undefined) return node;
  }
  return document.contents;
}
