import { expect, it } from "vitest";
import { findingsOf } from "../example.ts";

const job = (count: string, base: string, more = "") => `meshes: { m: { count: ${count} }${more} }
usual-mesh: { underbase: m }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque }${base} }
  ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
  glint: { ink: white, purpose: highlight, extract: { lightness: [92, 100], fade: 6 } }
`;
const SOLID = "";
const HALFTONES = ", strength: lightness";
const found = (rule: string, text: string) => findingsOf(text).filter((one) => one.rule === rule);

it("2.7 threads to a row of dots are too few, 6.8 are not too many", () => {
  expect(found("mesh-ruling", job("122/in", HALFTONES))).toHaveLength(1);
  expect(found("mesh-ruling", job("305/in", HALFTONES))).toEqual([]);
});

it("a plate that prints solid has no rows of dots", () => {
  expect(found("mesh-ruling", job("122/in", SOLID))).toEqual([]);
  expect(found("mesh-ruling", job("122/in", ", screening: { method: fm }, strength: lightness"))).toEqual([]);
});

it("the most open of the shop's meshes that holds the dots is offered, and none that is too fine for an underbase", () => {
  const [own] = found(
    "mesh-ruling",
    job("122/in", HALFTONES, ", n: { count: 195/in }, o: { count: 230/in }"),
  );
  expect(own).toMatchObject({ data: { mesh: { plate: "base", mesh: "n" } } });
  expect(own!.message).toContain("take mesh n, 158/in or finer, or 34 lpi or less");
  const [none] = found("mesh-ruling", job("122/in", HALFTONES, ", o: { count: 305/in }"));
  expect(none).not.toHaveProperty("data");
});

it("a solid underbase wants a mesh up to 160/in, one in halftones up to 230/in", () => {
  expect(found("underbase-mesh", job("195/in", SOLID))[0]!.message).toContain("a solid underbase");
  expect(found("underbase-mesh", job("195/in", HALFTONES))).toEqual([]);
  expect(found("underbase-mesh", job("255/in", HALFTONES))[0]!.message).toContain(
    "an underbase in halftones",
  );
});
