import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";

export const projectFolder = resolve(dirname(fileURLToPath(import.meta.url)), "../..");

/** Made by tools or by a run, never part of the project. */
const notOurs = new Set([".git", "node_modules", "dist", "coverage", "render/out"]);

/** Every file under `folder` of the project, as paths from the project folder with forward slashes. */
export function filesUnder(folder: string): string[] {
  const found: string[] = [];
  for (const entry of readdirSync(join(projectFolder, folder), { withFileTypes: true })) {
    const path = folder === "." ? entry.name : `${folder}/${entry.name}`;
    if (notOurs.has(path)) continue;
    if (entry.isDirectory()) found.push(...filesUnder(path));
    else found.push(path);
  }
  return found.sort();
}

export function readText(path: string): string {
  return readFileSync(join(projectFolder, path), "utf8");
}

export function parse(path: string, text: string): ts.SourceFile {
  return ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
}

export interface Room {
  readonly imports: readonly string[];
  readonly typesFrom: readonly string[];
  readonly packages: readonly string[];
  readonly core: boolean;
}

/** The one table of rooms; eslint.config.js reads the same file. */
export const house = JSON.parse(readText("tests/house/rooms.json")) as {
  readonly rooms: Readonly<Record<string, Room>>;
  readonly inexactMaths: readonly string[];
};

/** `src/steam/region-1.ts` is in the room `steam`, `src/index.ts` in `index`; a stray file has no room. */
export function roomOf(path: string): string | null {
  if (path === "src/index.ts") return "index";
  const [top, room, ...rest] = path.split("/");
  return top === "src" && room !== undefined && rest.length > 0 ? room : null;
}

export interface Import {
  readonly line: number;
  readonly specifier: string;
  readonly typesOnly: boolean;
}

/** Static and dynamic imports, re-exports and `import("x")` types of one file. */
export function importsOf(source: ts.SourceFile): Import[] {
  const found: Import[] = [];
  const add = (node: ts.Node, specifier: ts.Expression | undefined, typesOnly: boolean): void => {
    if (specifier === undefined) return;
    const line = source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1;
    found.push({ line, specifier: ts.isStringLiteralLike(specifier) ? specifier.text : "<computed>", typesOnly });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node)) {
      const clause = node.importClause;
      add(node, node.moduleSpecifier, clause?.phaseModifier === ts.SyntaxKind.TypeKeyword);
    } else if (ts.isExportDeclaration(node)) {
      add(node, node.moduleSpecifier, node.isTypeOnly);
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      add(node, node.arguments[0], false);
    } else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)) {
      add(node, node.argument.literal, true);
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** Why this import is not allowed in this file, or `null`. */
export function importFault(path: string, one: Import): string | null {
  const name = roomOf(path);
  const room = name === null ? undefined : house.rooms[name];
  if (name === null || room === undefined) return `${path}: belongs to no room of tests/house/rooms.json.`;
  const where = `${path}:${one.line} imports ${one.specifier}`;
  if (!one.specifier.startsWith(".")) {
    const allowed = room.packages.some((entry) =>
      entry.endsWith("*") ? one.specifier.startsWith(entry.slice(0, -1)) : one.specifier === entry,
    );
    return allowed ? null : `${where}: not a package of ${name}.`;
  }
  if (!one.specifier.endsWith(".js")) return `${where}: relative imports end in .js.`;
  const absolute = resolve(projectFolder, dirname(path), one.specifier);
  const target = roomOf(relative(projectFolder, absolute).split(sep).join("/").replace(/\.js$/, ".ts"));
  if (target === null) return `${where}: outside the rooms.`;
  if (target === name || room.imports.includes(target)) return null;
  if (room.typesFrom.includes(target)) return one.typesOnly ? null : `${where}: types only, so 'import type'.`;
  return `${where}: ${name} must not read ${target}.`;
}
