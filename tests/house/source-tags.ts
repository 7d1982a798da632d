import ts from "typescript";

/**
 * Finds figures without a source. A figure is a number written out in
 *  - an exported constant, down to the members of its objects, tables and calls,
 *  - a static field of an exported class,
 *  - a default value of a parameter of an exported function, or of a class's constructor or method,
 *  - a constant of the file that is not exported, if the number is not whole: those are physics, the others layout.
 * Its tag stands in the comment directly above it, at the end of its line, above anything that encloses it up to
 * the statement, or above the run of constants without a gap to which the statement belongs; or in a comment that
 * speaks of everything "in this file". These are no figures: 0 and 1; whole numbers in arithmetic with pi; whole
 * numbers whose name says that they lay out data (`cellCount`, `CELL_STRIDE`, `COLUMN_PRESSURE`); in a constant that
 * is not exported also powers of ten and numbers of mathematics such as the root of a half.
 */
export interface UntaggedFigure {
  readonly line: number;
  readonly name: string;
  readonly figure: string;
}

const sourceTag = /\[source: [^\]]{8,}\]/;
const practiceTag = /\[common practice(: [^\]]+)?\]/;
const tunedTag = /\[tuned: [^\]]+, (\d{1,2} \w+ )?\d{4}[^\]]*\]/;

/** Whether a comment holds one of the three tags. A tag may run over line ends. */
export function hasSourceTag(comment: string): boolean {
  const flat = comment.replace(/\s*\n\s*(\*(?!\/)|\/\/)?\s*/g, " ");
  return sourceTag.test(flat) || practiceTag.test(flat) || tunedTag.test(flat);
}

const layoutName = /^(column|row)_|(count|index|stride|offset|bits|bytes|mask|shift)$/i;

export function untaggedFigures(source: ts.SourceFile): UntaggedFigure[] {
  const text = source.text;
  const found: UntaggedFigure[] = [];
  const comments = text.match(/\/\*[\s\S]*?\*\/|(^[ \t]*\/\/.*\n)+/gm) ?? [];
  if (comments.some((one) => /\bin this file\b/.test(one) && hasSourceTag(one))) return found;

  const isTagged = (node: ts.Node): boolean => {
    const above = ts.getLeadingCommentRanges(text, node.getFullStart()) ?? [];
    const lineEnd = text.indexOf("\n", node.end);
    const behind = text.slice(node.end, lineEnd < 0 ? undefined : lineEnd);
    const comments = above.map((range) => text.slice(range.pos, range.end)).join("\n");
    return hasSourceTag(comments) || (/^[,;\s)\]}]*\/[/*]/.test(behind) && hasSourceTag(behind));
  };

  /** The statement, and the constants that stand above it without an empty line between. */
  const runOf = (statement: ts.Node): ts.Node[] => {
    let at = source.statements.findIndex((one) => one === statement);
    const run = [statement];
    while (at > 0 && source.statements.slice(at - 1, at + 1).every(ts.isVariableStatement)) {
      const before = source.statements[at - 1];
      if (/\n\s*\n/.test(text.slice(before.end, source.statements[at].getStart(source)))) break;
      run.push(before);
      at--;
    }
    return run;
  };

  const check = (root: ts.Node, name: string, top: ts.Node, exported = true): void => {
    const visit = (node: ts.Node, tagged: boolean): void => {
      if (ts.isFunctionLike(node) || ts.isTypeNode(node)) return;
      const here = tagged || isTagged(node);
      if (here) return;
      if (ts.isNumericLiteral(node) && isFigure(node, name) && (exported || isPhysical(node))) {
        const line = source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1;
        found.push({ line, name, figure: node.getText(source) });
        return;
      }
      ts.forEachChild(node, (child) => {
        visit(child, here);
      });
    };
    visit(root, runOf(top).some(isTagged));
  };

  const checkParameters = (node: ts.SignatureDeclaration, name: string, top: ts.Node): void => {
    for (const parameter of node.parameters) {
      if (parameter.initializer !== undefined && !isTagged(node)) {
        check(parameter, `${name}, ${parameter.name.getText(source)}`, top);
      }
    }
  };

  const exportedLater = new Set<string>();
  for (const statement of source.statements) {
    if (ts.isExportDeclaration(statement) && statement.exportClause && ts.isNamedExports(statement.exportClause)) {
      for (const one of statement.exportClause.elements) exportedLater.add((one.propertyName ?? one.name).text);
    }
  }
  const isExported = (statement: ts.Statement, name: string | undefined): boolean =>
    (ts.canHaveModifiers(statement) &&
      ts.getModifiers(statement)?.some((one) => one.kind === ts.SyntaxKind.ExportKeyword) === true) ||
    (name !== undefined && exportedLater.has(name));

  for (const statement of source.statements) {
    if (ts.isVariableStatement(statement)) {
      for (const one of statement.declarationList.declarations) {
        const name = one.name.getText(source);
        if (one.initializer) check(one, name, statement, isExported(statement, name));
      }
    } else if (ts.isFunctionDeclaration(statement) && isExported(statement, statement.name?.text)) {
      checkParameters(statement, statement.name?.text ?? "", statement);
    } else if (ts.isClassDeclaration(statement) && isExported(statement, statement.name?.text)) {
      const name = statement.name?.text ?? "";
      for (const member of statement.members) {
        if (ts.isPropertyDeclaration(member) && member.initializer) {
          const isStatic = member.modifiers?.some((one) => one.kind === ts.SyntaxKind.StaticKeyword) === true;
          if (isStatic) check(member, `${name}.${member.name.getText(source)}`, statement);
        } else if (ts.isMethodDeclaration(member) || ts.isConstructorDeclaration(member)) {
          checkParameters(member, `${name}.${member.name?.getText(source) ?? "constructor"}`, statement);
        }
      }
    }
  }
  return found;
}

/** 0, 1, layout and pure arithmetic with pi are not figures. */
function isFigure(literal: ts.NumericLiteral, name: string): boolean {
  const value = Number(literal.text);
  if (value === 0 || value === 1) return false;
  if (!isWhole(literal)) return true;
  let around: ts.Node = literal;
  let named = name;
  while (isArithmetic(around.parent)) around = around.parent;
  if (ts.isPropertyAssignment(around.parent)) named = around.parent.name.getText();
  if (layoutName.test(named)) return false;
  return !/\bMath\.(PI|SQRT2|SQRT1_2|E|LN2|LN10)\b/.test(around.getText());
}

function isWhole(literal: ts.NumericLiteral): boolean {
  return Number.isInteger(Number(literal.text));
}

/** Of the numbers that stay within a file: not whole, no power of ten, no number of mathematics. */
function isPhysical(literal: ts.NumericLiteral): boolean {
  const value = Number(literal.text);
  const numbersOfMathematics = [Math.PI / 4, Math.PI / 2, Math.PI, 2 * Math.PI, Math.SQRT1_2, Math.SQRT2, Math.LN2];
  const isMathematics = numbersOfMathematics.some((one) => Math.abs(value / one - 1) < 1e-14);
  return !isWhole(literal) && !Number.isInteger(Math.log10(value)) && !isMathematics;
}

function isArithmetic(node: ts.Node): boolean {
  return ts.isBinaryExpression(node) || ts.isPrefixUnaryExpression(node) || ts.isParenthesizedExpression(node);
}
