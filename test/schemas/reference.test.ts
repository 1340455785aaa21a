import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import orderSchema from "../../schemas/order.schema.json" with { type: "json" };
import recipeSchema from "../../schemas/recipe.schema.json" with { type: "json" };
import { formatPage } from "../../schemas/reference.ts";
import shopSchema from "../../schemas/shop.schema.json" with { type: "json" };

const read = (path: string) => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const page = formatPage();

it("stands on its page as the schemas have it", () => {
  expect(page === read("schemas/README.md"), "run npm run generate").toBe(true);
});

it("has every description of the schemas", () => {
  const descriptions = JSON.stringify([recipeSchema, shopSchema, orderSchema]).match(
    /(?<="description":")(?:[^"\\]|\\.)*/g,
  )!;
  expect(descriptions.length).toBeGreaterThan(100);
  for (const text of descriptions) expect(page).toContain(JSON.parse(`"${text}"`).replaceAll("|", "\\|"));
});

it("leads nowhere that is not on the page", () => {
  const anchors = [...page.matchAll(/\]\(#([\w-]+)\)/g)].map(([, anchor]) => anchor);
  const headings = [...page.matchAll(/^#+ (.*)$/gm)].map(([, text]) =>
    text!.toLowerCase().replaceAll(" ", "-"),
  );
  expect(anchors.length).toBeGreaterThan(40);
  for (const anchor of anchors) expect(headings).toContain(anchor);
  expect(new Set(headings).size).toBe(headings.length);
});
