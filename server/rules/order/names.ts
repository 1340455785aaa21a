import { fieldsOf, listOf, textsOf } from "../../language/partial-data.ts";
import { recipePlaces } from "../../language/project.ts";
import { nearest, suggestion } from "../../language/suggest.ts";
import type { NamedDocument, OrderContext, OrderRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** What an order names must be there: its prints, the shop's sizes, and each garment in every recipe that prints on it. */
export const unknownInOrder: OrderRule = {
  id: "unknown-in-order",
  looksAt: "order",
  level: "error",
  fixed: true,
  why: "A garment, size or print that the recipes and the shop do not have can be neither printed nor packed.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      lines:
        - { garment: black, sizes: { M: 24 }, prints: [frnt] }
    `,
    passes: yaml`
      lines:
        - { garment: black, sizes: { M: 24 }, prints: [front] }
    `,
  },
  *check(context) {
    const { symbols, shop } = context;
    const prints = namesOf(context, "print");
    const sizes = shop ? namesOf(shop, "size") : [];
    const garments = [...new Set([...context.recipes.values()].flatMap((doc) => namesOf(doc, "garment")))];
    for (const { kind, name, path } of symbols.references) {
      if (kind === "print" && !prints.includes(name)) yield { path, ...unknown("print", name, prints) };
      // A shop that keeps no list of sizes takes any.
      if (kind === "size" && sizes.length > 0 && !sizes.includes(name))
        yield { path, part: "key", ...unknown("size", name, sizes, " in the shop file") };
      if (kind !== "garment" || context.recipes.size === 0) continue;
      if (!garments.includes(name)) yield { path, ...unknown("garment", name, garments, " in its recipes") };
      else yield* missingIn(context, name, path[1] as number);
    }
  },
};

/** The garment in each recipe of its line. */
function* missingIn(context: OrderContext, garment: string, index: number) {
  const [, line] = listOf(context.doc.value, "lines").find(([i]) => i === index) ?? [];
  for (const [at, print] of textsOf(fieldsOf(line).prints)) {
    const path = recipePlaces(context.doc).find(([name]) => name === print)?.[1];
    const recipe = path === undefined ? undefined : context.recipes.get(path);
    if (!recipe) continue;
    const printed = recipe.symbols.references.some(
      ({ kind, name, path: [section] }) => kind === "garment" && name === garment && section === "setups",
    );
    if (printed) continue;
    if (namesOf(recipe, "garment").includes(garment)) {
      yield {
        path: ["lines", index, "prints", at],
        message: `no setup of ${path} prints on ${garment}; add one there, or take ${print} out of this line`,
      };
      continue;
    }
    yield {
      path: ["lines", index, "prints", at],
      message: `print ${print} is made by ${path}, which has no garment "${garment}"; add it there, with a setup that prints on it`,
    };
  }
}

function unknown(kind: string, name: string, known: readonly string[], where = "") {
  const replacement = nearest(name, known);
  return {
    message: `there is no ${kind} "${name}"${where}${suggestion(name, known, `${kind}s are`, replacement)}`,
    ...(replacement === undefined ? {} : { data: { replacement } }),
  };
}

function namesOf({ symbols }: NamedDocument, kind: string): string[] {
  return symbols.definitions.filter((one) => one.kind === kind).map(({ name }) => name);
}
