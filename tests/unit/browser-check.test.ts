/** The script for unsupported browsers: any browser can parse it, and it names the same versions as the rest of the project. */
import { readFileSync } from 'node:fs';
import { parseSync } from 'vite';
import { expect, it } from 'vitest';
import { minimumBrowsers } from '../../build/minimum-browsers.ts';
import config from '../../vite.config.ts';

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');

/** ECMA-262, 5.1, sections 11 to 14, as ESTree node types. Any other node is newer. */
const ES5_NODES = new Set(
  (
    'Program FunctionDeclaration FunctionExpression Identifier Literal ThisExpression ArrayExpression ObjectExpression Property ' +
    'MemberExpression NewExpression CallExpression UpdateExpression UnaryExpression BinaryExpression LogicalExpression ' +
    'ConditionalExpression AssignmentExpression SequenceExpression BlockStatement VariableDeclaration VariableDeclarator ' +
    'EmptyStatement ExpressionStatement IfStatement DoWhileStatement WhileStatement ForStatement ForInStatement ' +
    'ContinueStatement BreakStatement ReturnStatement WithStatement SwitchStatement SwitchCase LabeledStatement ' +
    'ThrowStatement TryStatement CatchClause DebuggerStatement'
  ).split(' '),
);

interface Node {
  readonly type: string;
  readonly [field: string]: unknown;
}

const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

/** Reason why this node, without its children, is not ES5; `null` when it is. */
function newerIn(node: Node): string | null {
  if (!ES5_NODES.has(node.type)) return node.type;
  if (node.type === 'VariableDeclaration' && node.kind !== 'var') return String(node.kind);
  if (node.type === 'CatchClause' && node.param === null) return 'catch without a name';
  if (node.type === 'Property' && (node.shorthand || node.computed || node.method)) return 'short property';
  if (node.async || node.generator) return 'async function or generator';
  if (node.operator === '**' || node.operator === '??') return String(node.operator);
  if (/^(\*\*|&&|\|\||\?\?)=$/.test(String(node.operator))) return String(node.operator);
  if ('bigint' in node) return 'bigint';
  const { regex } = node as { regex?: { flags: string; pattern: string } };
  if (regex && /[^gim]/.test(regex.flags)) return `flags ${regex.flags}`;
  if (regex && /\(\?<|\\[pk]/.test(regex.pattern)) return `pattern ${regex.pattern}`;
  return null;
}

function newerThanEs5(source: string): string[] {
  const { program, errors } = parseSync('script.js', source, { sourceType: 'script', preserveParens: false });
  const found = errors.map(({ message }) => message);
  const visit = (value: unknown): void => {
    if (Array.isArray(value)) value.forEach(visit);
    if (!isNode(value)) return;
    const newer = newerIn(value);
    if (newer !== null) found.push(newer);
    Object.values(value).forEach(visit);
  };
  visit(program);
  // Leaves no trace in the tree, and is an error in ES5.
  if (/,\s*\)/.test(source)) found.push('comma at the end of arguments');
  return found;
}

it.each([
  'let a = 1;',
  'var f = () => 1;',
  'var { a } = b;',
  'f(...a);',
  'a?.b;',
  'a ?? b;',
  'a ||= b;',
  'a ** b;',
  'var s = `x`;',
  'class A {}',
  'try { f(); } catch { g(); }',
  'var o = { a };',
  'var o = { f() {} };',
  'for (var a of b) f(a);',
  'f(a,\n);',
  'function f(a = 1) {}',
  'async function f() {}',
  'var r = /a/u;',
  'var r = /(?<a>b)/;',
  'var n = 1n;',
  'import("a");',
])('detects syntax newer than ES5: %s', (source) => {
  expect(newerThanEs5(source)).not.toEqual([]);
});

it('checks the browser in ES5 syntax', () => {
  const source = read('public/browser-check.js');
  expect(source).toContain('light-dark');
  expect(newerThanEs5(source)).toEqual([]);
});

it('runs before the app in the page', () => {
  const page = read('index.html');
  const check = page.indexOf('<script defer src="/browser-check.js"></script>');
  expect(check).toBeGreaterThan(0);
  expect(page.indexOf('type="module"')).toBeGreaterThan(check);
  expect(read('src/main.tsx')).toMatch(/^\/\*\*.*\*\/\nimport '\.\/platform\/browser-check\.ts';\n/);
});

it('is built for the versions that the README names', () => {
  const { chrome, edge, firefox, safari } = minimumBrowsers;
  expect(edge).toBe(chrome);
  expect(read('README.md')).toContain(
    `It needs Chrome or Edge ${chrome}, Firefox ${firefox}, Safari ${safari}, or newer`,
  );
  const { target } = config.build ?? {};
  expect(target).toEqual([
    `chrome${chrome}`,
    `edge${edge}`,
    `firefox${firefox}`,
    `safari${safari}`,
    `ios${safari}`,
  ]);
});
