import type { CompletionItem, CompletionItemKind } from "vscode-languageserver-types";
import { fieldsOf } from "../../language/partial-data.ts";
import { propertiesOf, type Schema, schemaAt } from "../../language/schema.ts";
import { keyKindAt, type SymbolKind } from "../../language/symbols.ts";
import { ABOUT_RULES } from "../../rules/all.ts";
import { type Model, toRange } from "../model.ts";
import { blockSnippetsAt } from "./block-snippets.ts";
import { type CompletionContext, completionContext } from "./context.ts";
import { escapeSnippet, keySnippet, namedSnippet, takesName, valueSnippet } from "./snippet.ts";
import { namesOf, type ValueCompletion, valueCompletions } from "./values.ts";

// CompletionItemKind of the protocol.
const KINDS: Readonly<Record<ValueCompletion["kind"] | "key" | "block", CompletionItemKind>> = {
  name: 6,
  choice: 12,
  step: 14,
  colour: 16,
  example: 12,
  key: 10,
  block: 15,
};
const SNIPPET = 2;
/** Lines are indented by the snippet itself, not by the editor: it knows where lists stand. */
const AS_IS = 1;

/** What can be written at the cursor: keys, values, names, whole blocks. Works in half-written text. */
export function completion(model: Model, offset: number): CompletionItem[] {
  const { source } = model;
  const context = completionContext(source.text, offset);
  if (!context) return [];
  const schema = schemaAt(source.kind, context.path);
  const offers =
    context.wants === "value" ? valueItems(model, context, schema) : keyItems(model, context, schema);
  const range = toRange(source, context.word);
  return offers.map(({ text, ...item }, i) => ({
    ...item,
    sortText: String(i).padStart(4, "0"),
    filterText: source.text[context.word.start] === '"' ? `"${item.label}` : item.label,
    textEdit: { range, newText: text },
    insertTextFormat: SNIPPET,
    insertTextMode: AS_IS,
  }));
}

interface Offer extends Pick<CompletionItem, "label" | "kind" | "detail" | "documentation" | "command"> {
  /** In snippet syntax. */
  readonly text: string;
}

/** Opens the list of values at once where a key was chosen that has some. */
const OFFER_VALUES = { title: "offer values", command: "editor.action.triggerSuggest" };

function keyItems(model: Model, context: CompletionContext, schema: Schema | undefined): Offer[] {
  if (!schema) return [];
  const { path, flow, column, hasColon } = context;
  if (schema.type === "array") {
    // Where a list belongs: its next entry.
    const items = schemaAt(model.source.kind, [...path, 0]);
    if (!items) return [];
    const values = valueCompletions(model, [...path, 0], items, "", []);
    if (items.type !== "object")
      return values.map((offer) => ({
        ...valueOffer(offer),
        label: `- ${offer.text}`,
        text: `- ${escapeSnippet(offer.text)}`,
      }));
    return [
      block(`- new ${title(items)}`, `- ${valueSnippet(items, { flow: true, column: column + 2 })}`, items),
      ...beginnings(model, context),
    ];
  }
  // An entry of a list of plain values stands where a key could.
  if (schema.type !== "object" && typeof path.at(-1) === "number") return valueItems(model, context, schema);

  const present = new Set([...Object.keys(valueAt(model.source.value, path)), ...context.beside]);
  const word = model.source.text.slice(context.word.start, context.word.end);
  present.delete(word);
  const required = new Set(schema.required ?? []);
  const keys = propertiesOf(schema)
    .filter(([key]) => !present.has(key))
    .sort(([a], [b]) => Number(required.has(b)) - Number(required.has(a)))
    .map(([key, value]): Offer => {
      const text = hasColon ? key : keySnippet(key, value, { flow, column });
      const documentation = value.description ?? "";
      const detail = required.has(key) ? "required" : "";
      const chooses = takesName(key, value);
      return {
        label: key,
        kind: KINDS.key,
        text,
        documentation,
        detail,
        ...(chooses ? { command: OFFER_VALUES } : {}),
      };
    });
  const named =
    typeof schema.additionalProperties === "object" ? schemaAt(model.source.kind, [...path, ""]) : undefined;
  if (model.source.kind === "shop" && path[0] === "rules" && path.length === 1)
    return rulesToSet(new Set(present));
  const kind = keyKindAt(path);
  if (kind) return hasColon ? [] : knownKeys(model, kind, present);
  if (!named || hasColon) return keys;
  const name = title(named);
  const text = namedSnippet(name, named, { flow, column });
  return [...keys, block(`new ${name}`, text, named), ...beginnings(model, context)];
}

/** Those that jobs often have, on a line of their own. */
function beginnings(model: Model, { path, flow, column }: CompletionContext): Offer[] {
  if (flow) return [];
  return blockSnippetsAt(model, path, column).map(({ label, about, text }) => ({
    label,
    kind: KINDS.block,
    text,
    documentation: about,
  }));
}

/** Names that are defined elsewhere, as keys. */
function knownKeys(model: Model, kind: SymbolKind, present: ReadonlySet<string>): Offer[] {
  return namesOf(model, kind)
    .filter((name) => !present.has(name))
    .map((name) => ({ label: name, kind: KINDS.name, text: `${escapeSnippet(name)}: $1`, detail: kind }));
}

/** Rules whose level can be set, as keys. */
function rulesToSet(present: ReadonlySet<string>): Offer[] {
  return ABOUT_RULES.filter(({ id, fixed }) => !fixed && !present.has(id)).map(({ id, level, why }) => ({
    label: id,
    kind: KINDS.key,
    text: `${id}: \${1|error,warning,note,off|}`,
    detail: `${level} by itself`,
    documentation: why,
  }));
}

function valueItems(model: Model, context: CompletionContext, schema: Schema | undefined): Offer[] {
  const { path, word, column, beside } = context;
  const written = model.source.text.slice(word.start, word.end);
  if (
    schema?.type === "object" ||
    (schema?.type === "array" && schema.items?.type !== "number" && schema.items?.type !== "string")
  ) {
    return [block(`new ${title(schema)}`, valueSnippet(schema, { flow: true, column }), schema)];
  }
  return valueCompletions(model, path, schema, written, beside).map(valueOffer);
}

function valueOffer({ text, detail, kind, hex }: ValueCompletion): Offer {
  return {
    label: text.replace(/^"(.*)"$/, "$1"),
    kind: KINDS[kind],
    detail,
    text: escapeSnippet(text),
    // An editor that finds a colour and nothing else there shows it as a patch.
    ...(hex === undefined ? {} : { documentation: hex }),
  };
}

function block(label: string, text: string, schema: Schema): Offer {
  return { label, kind: KINDS.block, text, documentation: schema.description ?? "" };
}

function title(schema: Schema): string {
  return (schema.title ?? schema.items?.title ?? "entry").toLowerCase();
}

function valueAt(value: unknown, path: CompletionContext["path"]): Readonly<Record<string, unknown>> {
  return fieldsOf(
    path.reduce<unknown>(
      (at, step) => (at as Record<string | number, unknown> | undefined | null)?.[step],
      value,
    ),
  );
}
