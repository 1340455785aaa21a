import { join } from "node:path";
import type { BinaryExpression, Expression, Node, SourceFile } from "typescript/unstable/ast";
import { SyntaxKind } from "typescript/unstable/ast";
import {
  isArrowFunction,
  isAwaitExpression,
  isBinaryExpression,
  isBindingElement,
  isBlock,
  isCallExpression,
  isConditionalExpression,
  isExpressionStatement,
  isForStatement,
  isIfStatement,
  isImportDeclaration,
  isInterfaceDeclaration,
  isLiteralTypeNode,
  isNewExpression,
  isNumericLiteral,
  isParameterDeclaration,
  isPrefixUnaryExpression,
  isPropertyAssignment,
  isReturnStatement,
  isStringLiteral,
  isTaggedTemplateExpression,
  isTemplateExpression,
  isTypeAliasDeclaration,
  isTypeNode,
  isWhileStatement,
} from "typescript/unstable/ast/is";
import { API } from "typescript/unstable/sync";

/** One change of a source file: what stands from `start` to `end` becomes `text`. */
export interface Mutation {
  /** From the project's folder. */
  readonly file: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
  /** From 1. */
  readonly line: number;
  /** The lines that it touches, as they are and as they become, each with its white space drawn together. */
  readonly before: string;
  readonly after: string;
}

const OPERATORS: Readonly<Record<string, string>> = {
  "<": "<=",
  "<=": "<",
  ">": ">=",
  ">=": ">",
  "===": "!==",
  "!==": "===",
  "&&": "||",
  "||": "&&",
  "+": "-",
  "-": "+",
  "*": "/",
  "/": "*",
  "%": "*",
  "**": "*",
  "<<": ">>",
  ">>": "<<",
  ">>>": "<<",
  "&": "|",
  "|": "&",
  "+=": "-=",
  "-=": "+=",
  "*=": "/=",
  "/=": "*=",
};

/** All mutations of some files of the project in `root`, in the order in which they stand. */
export function mutationsOf(root: string, projects: readonly string[], files: readonly string[]): Mutation[] {
  const api = new API({ cwd: root });
  try {
    const opened = api.updateSnapshot({ openProjects: [...projects] }).getProjects();
    return files.flatMap((file) => {
      const source = opened
        .map(({ program }) => program.getSourceFile(join(root, file)))
        .find((one) => one !== undefined);
      if (!source) throw new Error(`${file}: no project has it`);
      return inFile(file, source);
    });
  } finally {
    api.close();
  }
}

/** The text with the mutation in it. */
export function mutate(text: string, { start, end, text: other }: Mutation): string {
  return text.slice(0, start) + other + text.slice(end);
}

function inFile(file: string, source: SourceFile): Mutation[] {
  const found: Mutation[] = [];
  const { text } = source;
  const oneLine = (piece: string) => piece.replace(/\s+/g, " ").trim();
  const put = (start: number, end: number, other: string) => {
    if (text.slice(start, end) === other) return;
    const from = text.lastIndexOf("\n", start - 1) + 1;
    const to = text.indexOf("\n", end) < 0 ? text.length : text.indexOf("\n", end);
    found.push({
      file,
      start,
      end,
      text: other,
      line: text.slice(0, start).split("\n").length,
      before: oneLine(text.slice(from, to)),
      after: oneLine(text.slice(from, start) + other + text.slice(end, to)),
    });
  };
  const start = (node: Node) => node.getStart(source);
  const replace = (node: Node, other: string) => put(start(node), node.end, other);
  const condition = (node: Expression) => {
    for (const other of ["true", "false"]) if (node.getText(source) !== other) replace(node, other);
  };

  const look = (node: Node): void => {
    if (isTypeNode(node) || isInterfaceDeclaration(node) || isTypeAliasDeclaration(node)) return;
    if (isImportDeclaration(node) || isLiteralTypeNode(node)) return;
    if (isBinaryExpression(node)) operator(node);
    if (isIfStatement(node) || isWhileStatement(node)) condition(node.expression);
    if (isConditionalExpression(node)) condition(node.condition);
    // For ever is no mistake that a test is needed for.
    if (isForStatement(node) && node.condition) replace(node.condition, "false");
    if (isPrefixUnaryExpression(node) && /^[!-](?!-)/.test(node.getText(source)))
      put(start(node), start(node) + 1, "");
    if (isNumericLiteral(node) && Number.isFinite(Number(node.text)))
      // In a longer buffer than is needed nothing changes.
      for (const by of isLength(node) ? [-1] : [1, -1]) {
        const other = Number(node.text) + by;
        replace(node, text[start(node) - 1] === "-" ? `(${other})` : String(other));
      }
    if (isStringLiteral(node) && !isName(node)) replace(node, node.text === "" ? '"x"' : '""');
    if (isTemplateExpression(node) && !(node.parent && isTaggedTemplateExpression(node.parent)))
      replace(node, '""');
    if (node.kind === SyntaxKind.TrueKeyword) replace(node, "false");
    if (node.kind === SyntaxKind.FalseKeyword) replace(node, "true");
    if (isExpressionStatement(node)) {
      const inner = isAwaitExpression(node.expression) ? node.expression.expression : node.expression;
      // A constructor without its super call fails by itself.
      if (isCallExpression(inner) && inner.expression.kind !== SyntaxKind.SuperKeyword) replace(node, ";");
    }
    if (isReturnStatement(node) && node.expression) replace(node.expression, "undefined");
    if (isArrowFunction(node) && !isBlock(node.body)) replace(node.body, "undefined");
    if (isAwaitExpression(node)) replace(node, node.expression.getText(source));
    if ((isParameterDeclaration(node) || isBindingElement(node)) && node.initializer)
      put(text.lastIndexOf("=", start(node.initializer)), node.initializer.end, "");
    node.forEachChild(look);
  };
  const operator = (node: BinaryExpression) => {
    const sign = node.operatorToken.getText(source);
    if (sign === "??") replace(node, node.left.getText(source));
    const other = OPERATORS[sign];
    // Text that is put together is no sum.
    const isText = [node.left, node.right].some(
      (side) => isStringLiteral(side) || isTemplateExpression(side),
    );
    if (other !== undefined && !(sign === "+" && isText)) replace(node.operatorToken, other);
  };
  const isLength = (node: Node) =>
    node.parent &&
    isNewExpression(node.parent) &&
    /^(?:Ui|I)nt\d+|^Float\d+/.test(node.parent.expression.getText(source)) &&
    node.parent.arguments?.[0] === node;
  const isName = (node: Node) =>
    node.parent && isPropertyAssignment(node.parent) && node.parent.name === node;
  source.forEachChild(look);
  return found;
}
