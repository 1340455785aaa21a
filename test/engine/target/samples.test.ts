import { expect, it } from "vitest";
import { type Sample, sampleName, sampleOf } from "../../../server/engine/target/samples.ts";
import { sheetSamples, targetSheet } from "../../../server/engine/target/sheet.ts";
import { SCREENS } from "./sheets.ts";

it("every sample of a sheet is known by its name alone, and no two by one", () => {
  const sheet = targetSheet({ title: "", inks: ["white", "ember", "rose"], base: "white", screens: SCREENS });
  const samples = sheetSamples(sheet);
  for (const { name, sample } of samples) {
    const { kind } = sample;
    const solid = kind === "patch" && sample.screen === undefined;
    expect(sampleOf(name)).toEqual(solid ? { kind, ink: sample.ink, tone: 100, over: sample.over } : sample);
  }
  expect(new Set(samples.map(({ name }) => name)).size).toBe(samples.length);
});

it.each<[string, Sample]>([
  [
    "ember 45lpi 2.5 over garment",
    { kind: "patch", ink: "ember", screen: "45lpi", tone: 2.5, over: "garment" },
  ],
  ["ember bare over black card", { kind: "patch", ink: "ember", tone: 0, over: "black card" }],
  ["ember gap slanted", { kind: "gap", ink: "ember", way: "slanted" }],
  ["ember register y", { kind: "register", ink: "ember", axis: "y" }],
])("%s", (name, sample) => {
  expect(sampleOf(name)).toEqual(sample);
  expect(sampleName(sample)).toBe(name);
});

it.each(["ember", "ember 45lpi over garment", "ember 45lpi 50 over felt", "ember gap sideways"])(
  "%s is no sample of a sheet",
  (name) => {
    expect(sampleOf(name)).toBeUndefined();
  },
);
