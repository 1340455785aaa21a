import orderSchema from "../../schemas/order.schema.json" with { type: "json" };
import recipeSchema from "../../schemas/recipe.schema.json" with { type: "json" };
import shopSchema from "../../schemas/shop.schema.json" with { type: "json" };
import type { DocumentKind } from "./document.ts";
import type { Path } from "./finding.ts";

/** The parts of JSON Schema that the formats use. A reference is already followed. */
export interface Schema {
  readonly title?: string;
  readonly description?: string;
  readonly type?: string | readonly string[];
  readonly format?: string;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  /** What a text must be where a block may stand in its place. */
  readonly then?: { readonly enum: readonly unknown[] };
  readonly default?: unknown;
  readonly examples?: readonly unknown[];
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly additionalProperties?: boolean | Schema;
  readonly items?: Schema;
  readonly dependentRequired?: Readonly<Record<string, readonly string[]>>;
  readonly oneOf?: readonly { readonly required: readonly string[] }[];
  readonly minimum?: number;
  readonly maximum?: number;
}

const ROOTS: Readonly<Record<DocumentKind, Schema>> = {
  recipe: recipeSchema as Schema,
  shop: shopSchema as Schema,
  order: orderSchema as Schema,
};

/** The schema of a whole file. */
export function rootSchema(kind: DocumentKind): Schema {
  return ROOTS[kind];
}

/** What the schema says of the place at `path`; undefined where nothing of the kind belongs. */
export function schemaAt(kind: DocumentKind, path: Path): Schema | undefined {
  let schema: Schema | undefined = rootSchema(kind);
  for (const step of path) {
    if (!schema) return undefined;
    schema = followed(typeof step === "number" ? schema.items : property(schema, step));
  }
  return schema;
}

function property(schema: Schema, key: string): Schema | undefined {
  const { properties = {}, additionalProperties } = schema;
  if (Object.hasOwn(properties, key)) return properties[key];
  return typeof additionalProperties === "object" ? additionalProperties : undefined;
}

type Referring = Schema & { readonly $ref?: string };

const DEFINITIONS: Readonly<Record<string, Schema>> = {
  ...(shopSchema.$defs as Record<string, Schema>),
  ...(recipeSchema.$defs as unknown as Record<string, Schema>),
  ...(orderSchema.$defs as unknown as Record<string, Schema>),
};
/** The schemas never change, and every node of a text is looked up in them. */
const known = new WeakMap<Schema, Schema | undefined>();

/** A property's own words go before those of what it refers to; what a list holds is followed too. */
function followed(schema: Referring | undefined): Schema | undefined {
  if (!schema) return undefined;
  if (!known.has(schema)) known.set(schema, follow(schema));
  return known.get(schema);
}

function follow(schema: Referring): Schema | undefined {
  if (schema.then) return { ...schema, enum: schema.then.enum };
  if (!schema.$ref) return withItems(schema, schema.items);
  const target = followed(DEFINITIONS[schema.$ref.split("/").at(-1) ?? ""]);
  if (!target) return undefined;
  const items =
    target.items && schema.items ? { ...target.items, ...schema.items } : (target.items ?? schema.items);
  return withItems({ ...target, ...schema }, items);
}

function withItems(schema: Schema, items: Schema | undefined): Schema {
  const inner = followed(items);
  return inner ? { ...schema, items: inner } : schema;
}

/** The schemas of the keys that may stand in a block, references followed. */
export function propertiesOf(schema: Schema): [key: string, schema: Schema][] {
  return Object.entries(schema.properties ?? {}).map(([key, value]) => [key, followed(value) ?? value]);
}
