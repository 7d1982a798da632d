import ts from "typescript";

/**
 * Finds exported figures without a source. A figure is a number written out in
 *  - an exported constant, down to the members of its objects, tables and calls,
 *  - a static field of an exported class,
 *  - a default value of a parameter of an exported function, or of a class's constructor or method.
 * Its tag stands in the comment directly above it, at the end of its line, or above anything that encloses it
 * up to the exported statement. These are no figures: 0 and 1; whole numbers and pi combined by arithmetic
 * with pi in it; whole numbers whose name says that they lay out data (`...Count`, `...Index`, `...Stride`).
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

const layoutName = /(count|index|stride|offset|bits|bytes|mask|shift)$/i;

export function untaggedFigures(source: ts.SourceFile): UntaggedFigure[] {
  const text = source.text;
  const found: UntaggedFigure[] = [];

  const isTagged = (node: ts.Node): boolean => {
    const above = ts.getLeadingCommentRanges(text, node.getFullStart()) ?? [];
    const lineEnd = text.indexOf("\n", node.end);
    const behind = text.slice(node.end, lineEnd < 0 ? undefined : lineEnd);
    const comments = above.map((range) => text.slice(range.pos, range.end));
    if (/^[,;\s)\]}]*\/[/*]/.test(behind)) comments.push(behind);
    return comments.some(hasSourceTag);
  };

  const check = (root: ts.Node, name: string, top: ts.Node): void => {
    const visit = (node: ts.Node, tagged: boolean): void => {
      if (ts.isFunctionLike(node) || ts.isTypeNode(node)) return;
      const here = tagged || isTagged(node);
      if (here) return;
      if (ts.isNumericLiteral(node) && isFigure(node, name)) {
        const line = source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1;
        found.push({ line, name, figure: node.getText(source) });
        return;
      }
      ts.forEachChild(node, (child) => {
        visit(child, here);
      });
    };
    visit(root, isTagged(top));
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
        if (one.initializer && isExported(statement, name)) check(one, name, statement);
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
  if (!Number.isInteger(value)) return true;
  let around: ts.Node = literal;
  let named = name;
  while (isArithmetic(around.parent)) around = around.parent;
  if (ts.isPropertyAssignment(around.parent)) named = around.parent.name.getText();
  if (layoutName.test(named)) return false;
  return !/\bMath\.(PI|SQRT2|SQRT1_2|E|LN2|LN10)\b/.test(around.getText());
}

function isArithmetic(node: ts.Node): boolean {
  return ts.isBinaryExpression(node) || ts.isPrefixUnaryExpression(node) || ts.isParenthesizedExpression(node);
}
