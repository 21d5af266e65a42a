/** Reads the project's own source files and their imports. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, posix } from 'node:path';
import { parseSync } from 'vite';
import { root } from '../../build/install.mjs';

export interface Import {
  /** The specifier as written. */
  readonly specifier: string;
  /** Path from the root of the project for a relative specifier, without `?query`; else `null`. */
  readonly path: string | null;
  /** Imported names; empty when the whole module is imported (`import x`, `import * as x`, `import()`). */
  readonly names: readonly string[];
  /** Type-only: removed by the compiler, nothing of the module runs. */
  readonly typeOnly: boolean;
}

export interface SourceFile {
  /** Path from the root of the project, with forward slashes. */
  readonly path: string;
  readonly imports: readonly Import[];
  readonly hasDefaultExport: boolean;
  /** The file contains re-exports only. */
  readonly isBarrel: boolean;
}

interface Node {
  readonly type: string;
  readonly [key: string]: unknown;
}

const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as { type?: unknown }).type === 'string';

const childrenOf = (node: Node): Node[] =>
  Object.values(node).flatMap((value) => (Array.isArray(value) ? value : [value]).filter(isNode));

function walk(node: Node, visit: (node: Node) => void): void {
  visit(node);
  for (const child of childrenOf(node)) walk(child, visit);
}

const literal = (value: unknown): string | null =>
  isNode(value) && value.type === 'Literal' && typeof value.value === 'string' ? value.value : null;

const nameOf = (value: unknown): string => (isNode(value) ? String(value.name ?? value.value ?? '') : '');

/** `new URL('./x.ts', import.meta.url)`: the reference of a page to its worker. */
function isModuleUrl(node: Node): boolean {
  if (node.type !== 'NewExpression' || nameOf(node.callee) !== 'URL') return false;
  const [, base] = node.arguments as readonly Node[];
  return base?.type === 'MemberExpression' && isNode(base.object) && base.object.type === 'MetaProperty';
}

function importOf(node: Node, from: string): Import | null {
  const args = node.arguments;
  const specifier = isModuleUrl(node) ? literal(Array.isArray(args) ? args[0] : null) : literal(node.source);
  if (specifier === null) return null;
  const specifiers = (Array.isArray(node.specifiers) ? node.specifiers : []).filter(isNode);
  const named = specifiers.filter((s) => s.type === 'ImportSpecifier' || s.type === 'ExportSpecifier');
  const isType = (n: Node) => n.importKind === 'type' || n.exportKind === 'type';
  return {
    specifier,
    path: specifier.startsWith('.') ? posix.join(posix.dirname(from), specifier.replace(/\?.*$/, '')) : null,
    names: named.length === specifiers.length ? named.map((s) => nameOf(s.imported ?? s.local)) : [],
    typeOnly:
      node.type === 'TSImportType' ||
      isType(node) ||
      (specifiers.length > 0 && specifiers.length === named.length && named.every(isType)),
  };
}

/** Parses one file. Throws a `SyntaxError` when it cannot be parsed. */
export function readSource(path: string, text: string): SourceFile {
  const { program: parsed, errors } = parseSync(path, text);
  if (errors.length > 0) throw new SyntaxError(`${path}: ${errors[0]?.message}`);
  const program = parsed as unknown as Node;
  const imports: Import[] = [];
  walk(program, (node) => {
    const found = importOf(node, path);
    if (found !== null) imports.push(found);
  });
  const body = (program.body as readonly Node[]) ?? [];
  return {
    path,
    imports,
    hasDefaultExport: body.some((node) => node.type === 'ExportDefaultDeclaration'),
    isBarrel: body.length > 0 && body.every((node) => node.type.startsWith('Export') && isNode(node.source)),
  };
}

/** Every TypeScript and `.mjs` file below these folders, without declaration files. */
export function readSources(folders: readonly string[]): SourceFile[] {
  return folders
    .flatMap((folder) =>
      readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' }).map((name) =>
        posix.join(folder, name.replaceAll('\\', '/')),
      ),
    )
    .filter((path) => /\.(tsx?|mjs)$/.test(path) && !path.endsWith('.d.ts'))
    .map((path) => readSource(path, readFileSync(join(root, path), 'utf8')));
}
