/**
 * Writes what follows from elsewhere: the TypeScript types of the file formats and their reference from their schemas,
 * the engine's compiled loops, the letters of films from a font, and the rules' reference from the rules. Run by
 * `npm run generate`.
 */
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { compile, type JSONSchema } from "json-schema-to-typescript";
import { kernelFile, kernelModule } from "./kernels.ts";
import { lettersModule } from "./letters.ts";
import { formatPage } from "./reference.ts";
import { validatorsModule, validatorsTypes } from "./validators.ts";

const schemas = fileURLToPath(new URL(".", import.meta.url));
const target = fileURLToPath(new URL("../server/language/generated/", import.meta.url));

const shop = await read("shop");
const recipe = await read("recipe");
const order = await read("order");
// One namespace for both, so that a definition used by both gives one type.
const formats = {
  ...shop,
  ...recipe,
  $defs: {
    ...shop.$defs,
    ...recipe.$defs,
    ...order.$defs,
    shop: { ...shop, $defs: undefined },
    order: { ...order, $defs: undefined },
  },
};

const types = await compile(formats as JSONSchema, "Recipe", {
  cwd: schemas,
  bannerComment: '// Generated from schemas/*.schema.json by "npm run generate". Do not edit.',
  additionalProperties: false,
  unreachableDefinitions: true,
  format: false,
});
await mkdir(target, { recursive: true });
await writeFile(`${target}formats.ts`, types);
const whole = async (kind: string) => JSON.parse(await readFile(`${schemas}${kind}.schema.json`, "utf8"));
const kinds = { shop: await whole("shop"), recipe: await whole("recipe"), order: await whole("order") };
await writeFile(`${target}validators.js`, validatorsModule(kinds));
await writeFile(`${target}validators.d.ts`, validatorsTypes(Object.keys(kinds)));

const output = fileURLToPath(new URL("../server/output/generated/", import.meta.url));
await mkdir(output, { recursive: true });
await writeFile(`${output}letters.ts`, await lettersModule());

for (const kernel of ["trap/lower", "print/pixels", "screen/dots", "screen/clean"]) {
  const source = new URL(`../server/engine/${kernel}.wat`, import.meta.url);
  await mkdir(new URL("generated/", source), { recursive: true });
  await writeFile(new URL(kernelFile(source), source), await kernelModule(source));
}

// The rules need what was generated above.
const { rulesPage } = await import("../server/rules/reference.ts");
await writeFile(`${schemas}README.md`, formatPage());
await writeFile(new URL("../server/rules/README.md", import.meta.url), rulesPage());

async function read(kind: string): Promise<{ $defs: object }> {
  const text = await readFile(`${schemas}${kind}.schema.json`, "utf8");
  return JSON.parse(text.replaceAll('"shop.schema.json#', '"#'), forTypes);
}

/**
 * A reference with a description beside it would become a type of its own, and "exactly one of these keys" has
 * no readable type: both are for people and for the validator. A word or a block of keys is one type or the other.
 */
function forTypes(key: string, value: unknown): unknown {
  if (key === "oneOf" || key === "prefixItems") return undefined;
  if (typeof value !== "object" || value === null) return value;
  if ("$ref" in value) return { $ref: value.$ref };
  if (!("if" in value && "then" in value)) return value;
  const { if: _, then: words, default: __, ...block } = value as Record<string, unknown>;
  return { anyOf: [words, { ...block, type: "object" }] };
}
