import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import orderSchema from "../../schemas/order.schema.json" with { type: "json" };
import recipeSchema from "../../schemas/recipe.schema.json" with { type: "json" };
import shopSchema from "../../schemas/shop.schema.json" with { type: "json" };
import { FORMATS } from "../../server/language/values/formats.ts";

interface Schema {
  readonly $ref?: string;
  readonly description?: string;
  readonly examples?: readonly unknown[];
  readonly [key: string]: unknown;
}

const ajv = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false, strictTypes: false });
for (const [format, read] of Object.entries(FORMATS)) {
  ajv.addFormat(format, { type: "string", validate: (text: string) => read(text).ok });
}
ajv.addSchema(shopSchema).addSchema(recipeSchema).addSchema(orderSchema);

/** Every subschema with its JSON pointer, `examples` and the like left out. */
function* parts(schema: unknown, pointer: string): Iterable<[pointer: string, schema: Schema]> {
  if (typeof schema !== "object" || schema === null) return;
  if (!Array.isArray(schema)) yield [pointer, schema as Schema];
  for (const [key, value] of Object.entries(schema)) {
    if (["examples", "default", "const", "enum", "required", "dependentRequired"].includes(key)) continue;
    yield* parts(value, `${pointer}/${key}`);
  }
}

const all = [
  ...parts(recipeSchema, "recipe.schema.json#"),
  ...parts(shopSchema, "shop.schema.json#"),
  ...parts(orderSchema, "order.schema.json#"),
] as const;
const byPointer = new Map(all);
const properties = all.filter(([pointer]) => /\/properties\/[^/]+$/.test(pointer));
const followed = (pointer: string, schema: Schema): Schema => {
  if (!schema.$ref) return schema;
  const target = schema.$ref.startsWith("#") ? pointer.split("#")[0] + schema.$ref : schema.$ref;
  return { ...byPointer.get(target)!, ...schema };
};

describe("the schemas", () => {
  it("are reached by this test in all their keys", () => {
    expect(properties.length).toBeGreaterThan(60);
  });

  it.each(properties)("%s says what it is, and shows it", (pointer, schema) => {
    const { description, examples } = followed(pointer, schema);
    expect(description).toMatch(/^\S.{8,}\.$/s);
    expect(examples?.length).toBeGreaterThan(0);
  });

  it.each(all.filter(([, { examples }]) => examples))("%s has examples that are valid", (pointer, schema) => {
    const check = ajv.compile({ $ref: encodeURI(pointer) });
    for (const example of schema.examples!) {
      check(example);
      expect(check.errors ?? [], JSON.stringify(example)).toEqual([]);
    }
  });

  it("choose between keys, never between shapes: errors of a choice cannot be put into words", () => {
    const choices = all.flatMap(([, schema]) => (schema.oneOf as Schema[] | undefined) ?? []);
    expect(choices.length).toBeGreaterThan(0);
    for (const choice of choices) {
      expect(Object.keys(choice)).toEqual(["required"]);
      expect(choice.required).toHaveLength(1);
    }
    expect(all.filter(([, schema]) => "anyOf" in schema || "allOf" in schema)).toEqual([]);
  });

  it("have a reader for every format, and only those", () => {
    const used = new Set(all.flatMap(([, { format }]) => (format === undefined ? [] : [format])));
    expect([...used].sort()).toEqual(Object.keys(FORMATS).sort());
  });

  it.each([
    ["recipe.schema.json", "samples/night-garden/night-garden.sep.yaml"],
    ["shop.schema.json", "samples/workshop.shop.yaml"],
    ["order.schema.json", "samples/night-garden/night-garden.order.yaml"],
  ])("%s describes %s", (id, file) => {
    const check = ajv.getSchema(id)!;
    check(parse(readFileSync(new URL(`../../${file}`, import.meta.url), "utf8")));
    expect(check.errors ?? []).toEqual([]);
  });
});
