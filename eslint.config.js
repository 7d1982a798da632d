import { readFileSync } from "node:fs";
import js from "@eslint/js";
import { defineConfig } from "eslint/config";
import tseslint from "typescript-eslint";

// The same table that tests/house/rooms.test.ts holds the tree against.
const table = JSON.parse(readFileSync(new URL("./tests/house/rooms.json", import.meta.url), "utf8"));
const rooms = Object.entries(table.rooms);

/** Where the files of a room are. `index` is the public door, src/index.ts. */
function filesOf(name) {
  return name === "index" ? ["src/index.ts"] : [`src/${name}/**/*.ts`];
}

function importBans([name, room]) {
  const others = rooms.map(([other]) => other).filter((other) => other !== name && other !== "index");
  const forbidden = others.filter((other) => !room.imports.includes(other) && !room.typesFrom.includes(other));
  const packages = room.packages.map((entry) => entry.replaceAll(".", "\\.").replace("*", ".*")).join("|");
  const patterns = [
    {
      regex: packages === "" ? "^[^.]" : `^(?!(?:${packages})$)[^.]`,
      message: `src/${name} may use these packages only: ${room.packages.join(", ") || "none"}.`,
    },
  ];
  if (forbidden.length > 0) {
    patterns.push({
      regex: `^\\.\\.?/(?:\\.\\./)*(?:${forbidden.join("|")})/`,
      message: `src/${name} must not read these rooms: ${forbidden.join(", ")}. See DEVELOPERS.md, "Rooms".`,
    });
  }
  if (room.typesFrom.length > 0) {
    patterns.push({
      regex: `^\\.\\.?/(?:\\.\\./)*(?:${room.typesFrom.join("|")})/`,
      allowTypeImports: true,
      message: `src/${name} may read types only from: ${room.typesFrom.join(", ")}.`,
    });
  }
  return { files: filesOf(name), rules: { "@typescript-eslint/no-restricted-imports": ["error", { patterns }] } };
}

const enums = { selector: "TSEnumDeclaration", message: "Use a union of strings." };
const defaults = { selector: "ExportDefaultDeclaration", message: "Named exports only." };
const powers = {
  selector: "BinaryExpression[operator='**'], AssignmentExpression[operator='**=']",
  message: "JavaScript engines round it differently: multiply, or take pow from quantities/portable-maths.",
};
const bareParsers = ["parseInt", "parseFloat"].map((name) => ({
  name,
  message: "Numbers from outside go through the parser in quantities.",
}));
const numberParsers = bareParsers.map(({ name, message }) => ({ object: "Number", property: name, message }));
const clocks = table.clockGlobals.map((name) => ({ name, message: "The core knows no clock, page, file or console." }));
const inexactMaths = table.inexactMaths.map((property) => ({
  object: "Math",
  property,
  message: "JavaScript engines round it differently: take it from quantities/portable-maths.",
}));

export default defineConfig(
  { ignores: ["dist/", "node_modules/", "render/out/", "coverage/"] },
  js.configs.recommended,
  {
    files: ["**/*.ts"],
    extends: [tseslint.configs.recommendedTypeChecked],
    languageOptions: {
      parserOptions: {
        projectService: { allowDefaultProject: ["vitest.config.ts"] },
        tsconfigRootDir: import.meta.dirname,
      },
    },
    rules: {
      "@typescript-eslint/explicit-module-boundary-types": "error",
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_" }],
      "@typescript-eslint/restrict-template-expressions": ["error", { allowNumber: true, allowBoolean: true }],
      "@typescript-eslint/switch-exhaustiveness-check": ["error", { considerDefaultExhaustiveForUnions: true }],
      "no-restricted-globals": ["error", ...bareParsers],
      "no-restricted-properties": ["error", ...numberParsers],
      "no-restricted-syntax": ["error", enums, defaults],
      // A name that is made safe for a file or a terminal is searched for control characters.
      "no-control-regex": "off",
      eqeqeq: "error",
    },
  },
  {
    files: rooms.filter(([, room]) => room.core).flatMap(([name]) => filesOf(name)),
    rules: {
      "no-restricted-globals": ["error", ...bareParsers, ...clocks],
      "no-restricted-properties": ["error", ...numberParsers, ...inexactMaths],
      "no-restricted-syntax": ["error", enums, defaults, powers],
    },
  },
  ...rooms.map(importBans),
  {
    files: ["tests/**/*.ts"],
    rules: {
      "@typescript-eslint/explicit-module-boundary-types": "off",
      "@typescript-eslint/no-unnecessary-type-assertion": "off",
      "@typescript-eslint/unbound-method": "off",
    },
  },
  // What a tool or a foreign package wants as its default export.
  { files: ["vitest.config.ts", "src/**/*.d.ts"], rules: { "no-restricted-syntax": ["error", enums] } },
  {
    files: ["**/*.js", "**/*.mjs"],
    languageOptions: { globals: { process: "readonly", console: "readonly", URL: "readonly" } },
  },
);
