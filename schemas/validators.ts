import { _, Ajv2020 } from "ajv/dist/2020.js";
import standaloneCode from "ajv/dist/standalone/index.js";
import { schemaFormats } from "../server/language/schema-formats.ts";

const NOTE = '// Generated from schemas/*.schema.json by "npm run generate". Do not edit.';

/**
 * A JavaScript module with a function for each schema, by name, that holds data against it: compiled here, since that takes
 * longer than most commands of the program have to run.
 */
export function validatorsModule(
  schemas: Readonly<Record<string, object & { readonly $id: string }>>,
): string {
  const ajv = new Ajv2020({
    allErrors: true,
    verbose: true,
    strict: true,
    allowUnionTypes: true,
    strictRequired: false,
    strictTypes: false,
    formats: schemaFormats,
    schemas: Object.values(schemas),
    code: { source: true, esm: true, formats: _`schemaFormats` },
  });
  const ids = Object.fromEntries(Object.entries(schemas).map(([name, { $id }]) => [name, $id]));
  // A text's length is the only thing that it asks for at run time.
  const code = standaloneCode(ajv, ids).replaceAll(
    'require("ajv/dist/runtime/ucs2length").default',
    "lengthOf",
  );
  if (code.includes("require(")) throw new Error("validators need something that they do not import");
  return `${NOTE}\nimport { lengthOf, schemaFormats } from "../schema-formats.ts";\n${code}\n`;
}

/** Its types. */
export function validatorsTypes(names: readonly string[]): string {
  const type = "(data: unknown) => boolean) & { readonly errors?: ErrorObject[] | null }";
  return [
    NOTE,
    'import type { ErrorObject } from "ajv/dist/2020.js";',
    ...names.map((name) => `export declare const ${name}: (${type};`),
    "",
  ].join("\n");
}
