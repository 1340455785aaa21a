import type { SemanticTokens, SemanticTokensLegend } from "vscode-languageserver-types";
import { isScalar } from "yaml";
import { rangeOf } from "../language/document.ts";
import { schemaAt } from "../language/schema.ts";
import { PRESS_STEPS } from "../language/symbols.ts";
import { visitDocument } from "../language/visit.ts";
import { type Model, toPosition } from "./model.ts";

// Names of the protocol's own token types and modifiers, so that every theme has colours for them.
const TYPES = ["property", "variable", "keyword", "enumMember", "number", "string"] as const;
const MODIFIERS = ["declaration", "readonly"] as const;
type TokenType = (typeof TYPES)[number];

/** Token types and modifiers, by the numbers that tokens name. */
export const SEMANTIC_LEGEND: SemanticTokensLegend = {
  tokenTypes: [...TYPES],
  tokenModifiers: [...MODIFIERS],
};

interface Token {
  readonly start: number;
  readonly end: number;
  readonly type: TokenType;
  readonly declares: boolean;
}

/** Keys, names where they are defined and used, steps of the press, choices, numbers with their units. */
export function semanticTokens(model: Model): SemanticTokens {
  const { source, symbols } = model;
  const declared = new Set(symbols.definitions.map(({ range }) => range.start));
  const used = new Set(symbols.references.map(({ range }) => range.start));
  const tokens: Token[] = [];
  visitDocument(source, (path, key, node) => {
    const at = rangeOf(source, key);
    if (at) {
      const declares = declared.has(at.start);
      tokens.push({
        ...at,
        type: declares ? "variable" : "property",
        declares,
      });
    }
    const value = rangeOf(source, node);
    if (!isScalar(node) || !value || value.end <= value.start) return;
    const { start, end } = value;
    const type = used.has(start) ? "variable" : valueType(model, path, node.value);
    tokens.push({ start, end, type, declares: false });
  });
  return { data: encode(model, tokens) };
}

function valueType(model: Model, path: readonly (string | number)[], value: unknown): TokenType {
  if (typeof value === "number") return "number";
  if (path.at(-2) === "order" && PRESS_STEPS.includes(String(value))) return "keyword";
  const schema = schemaAt(model.source.kind, path);
  if (schema?.enum) return "enumMember";
  return schema?.format && schema.format !== "name" ? "number" : "string";
}

/** The protocol's form: five numbers a token, places relative to the token before; a token stays on its line. */
function encode(model: Model, tokens: readonly Token[]): number[] {
  const data: number[] = [];
  let line = 0;
  let character = 0;
  for (const { start, end, type, declares } of [...tokens].sort((a, b) => a.start - b.start)) {
    const at = toPosition(model.source, start);
    if (toPosition(model.source, end).line !== at.line) continue;
    const sameLine = at.line === line;
    data.push(
      at.line - line,
      sameLine ? at.character - character : at.character,
      end - start,
      TYPES.indexOf(type),
      declares ? 1 : 0,
    );
    ({ line, character } = at);
  }
  return data;
}
