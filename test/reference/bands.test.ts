import { expect, it } from "vitest";
import { mixingErrors } from "../bench/bands.ts";

it("mixes inks better in rebuilt spectra than in three bands, against invented spectra at 10 nm", () => {
  // The figures behind the choice, as DEVELOPERS.md has them: mean, 95 % and worst ΔE00.
  const errors = Object.fromEntries(mixingErrors().map(({ model, ...figures }) => [model, figures]));
  expect(errors["rebuilt spectra"]).toMatchObject({ cases: 1584 });
  const close = (name: string) => Object.values(errors[name]).map((v) => v.toFixed(1));
  expect(close("three linear bands")).toEqual(["0.8", "2.8", "5.8", "1584.0"]);
  expect(close("rebuilt spectra")).toEqual(["0.2", "0.8", "3.5", "1584.0"]);
});
