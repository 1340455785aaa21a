import { expect, it } from "vitest";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { partings } from "../../../server/engine/tune/apart.ts";
import { samplePixels } from "../../../server/engine/tune/sample.ts";
import { pictureOf } from "../pictures.ts";
import { PLAIN } from "../plans.ts";
import { jobOf } from "./job.ts";

const names = ["white", "gold", "leaf", "black"];
const plan: SeparationPlan = {
  plates: names.map((name) => ({ name, extract: { by: "artwork" }, strength: { by: "flat" } })),
  ...PLAIN,
  smallestDot: 0,
};
const picture = pictureOf(1, [[200, 150, 60]]);

/** What may be parted, where each setup prints these plates. */
function parted(setups: Readonly<Record<string, readonly string[]>>): string[] {
  const job = jobOf(plan);
  const [all] = job.prints;
  const prints = Object.entries(setups).map(([setup, plates]) => ({
    ...all!,
    setup,
    stations: all!.stations.filter(({ plate }) => plates.includes(plate)),
  }));
  const weights = prints.map(() => 1 / prints.length);
  return partings({ ...job, prints }, samplePixels(picture, 1), weights).map(
    ({ plate, setup }) => `${names[plate]} of ${setup}`,
  );
}

it("a plate may be parted that several setups print: of two either is the same, of more each is its own", () => {
  expect(parted({ dark: names })).toEqual([]);
  expect(parted({ dark: ["white", "gold"], light: ["gold", "black"] })).toEqual(["gold of light"]);
  const three = { dark: ["white", "gold", "leaf"], light: ["gold", "leaf"], red: ["gold", "black"] };
  expect(parted(three)).toEqual(["gold of dark", "gold of light", "gold of red", "leaf of light"]);
});
