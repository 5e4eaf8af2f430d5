import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';

/** Calls whose sentence comes to a screen, with the place of that sentence among what is given, and what is put before it. */
const SPEAKERS: Readonly<Record<string, readonly [place: number, before?: string]>> = {
  ProblemError: [2], UserError: [0], conflict: [0], notFound: [0, 'there is no '], notAllowed: [0, 'your role does not allow to '], refuse: [-1], refused: [1],
};

/** Every sentence that the server or the fold answers an order with, as it stands in these sources; `{}` for each value put into it. */
export function spokenSentences(paths: readonly string[]): string[] {
  return [...new Set(paths.flatMap(filesUnder).flatMap(sentencesOf))].toSorted();
}

function filesUnder(path: string): string[] {
  if (path.endsWith('.ts')) return [path];
  return readdirSync(path, { withFileTypes: true }).flatMap((entry) => filesUnder(join(path, entry.name))).filter((file) => file.endsWith('.ts'));
}

function sentencesOf(file: string): string[] {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if ((ts.isCallExpression(node) || ts.isNewExpression(node)) && ts.isIdentifier(node.expression)) {
      const [place, before = ''] = SPEAKERS[node.expression.text] ?? [];
      const said = place === undefined ? undefined : node.arguments?.at(place);
      if (said) found.push(...spoken(said).map((text) => before + text));
    }
    if (ts.isPropertyAssignment(node) && ts.isIdentifier(node.name) && node.name.text === 'refusal') found.push(...spoken(node.initializer));
    if (ts.isBinaryExpression(node) && node.operatorToken.kind === ts.SyntaxKind.EqualsToken && /\.refusal$/.test(node.left.getText())) found.push(...spoken(node.right));
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** The literals that an expression may come to; what it takes from elsewhere is found where it stands. */
function spoken(node: ts.Expression): string[] {
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) return [node.text];
  if (ts.isTemplateExpression(node)) return [node.head.text + node.templateSpans.map(({ literal }) => `{}${literal.text}`).join('')];
  if (ts.isConditionalExpression(node)) return [...spoken(node.whenTrue), ...spoken(node.whenFalse)];
  if (ts.isBinaryExpression(node)) return [...spoken(node.left), ...spoken(node.right)];
  if (ts.isParenthesizedExpression(node)) return spoken(node.expression);
  return [];
}
