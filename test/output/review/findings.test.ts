import { describe, expect, it } from "vitest";
import { findingChanges, type PlacedFinding } from "../../../server/output/review/findings.ts";
import { finding } from "./reviews.ts";

const said = ({ come, gone }: ReturnType<typeof findingChanges>) => {
  const text = ({ level, path, message }: PlacedFinding) => `${level} ${path.join(".")} ${message}`;
  return { come: come.map(text), gone: gone.map(text) };
};
const at = (path: string, message: string, level: PlacedFinding["level"] = "warning") =>
  finding({ path: path === "" ? [] : path.split("."), message, level });
const between = (before: PlacedFinding[], after: PlacedFinding[]) => said(findingChanges(before, after));
const NONE = { come: [], gone: [] };

describe("findings that come and go", () => {
  it("are not those of the same place, whatever the figures, nor those that moved", () => {
    expect(between([at("a", "5 % off")], [at("a", "5 % off")])).toEqual(NONE);
    expect(between([at("a", "5 % off")], [at("a", "6 % off")])).toEqual(NONE);
    expect(between([at("a.0", "5 % off")], [at("a.1", "5 % off")])).toEqual(NONE);
  });

  it("are those of another level, rule, or of another place with other words", () => {
    const one = at("a", "m");
    for (const other of [at("b", "n"), at("a", "m", "error"), finding({ ...one, rule: "another-rule" })])
      expect(findingChanges([one], [other])).toEqual({ come: [other], gone: [one] });
  });

  it("are counted: as many as there are more of", () => {
    const [one, two] = [at("a", "m"), at("a", "n")];
    expect(between([one, one], [one])).toEqual({ come: [], gone: ["warning a m"] });
    expect(between([one], [one, one, one])).toEqual({ come: ["warning a m", "warning a m"], gone: [] });
    // The one that says the same is the same; the other is new.
    expect(between([one], [two, one])).toEqual({ come: ["warning a n"], gone: [] });
    expect(between([two, one], [one])).toEqual({ come: [], gone: ["warning a n"] });
  });

  it("go where a comment allows them, and come where it does no more", () => {
    const allowed = finding({ allowed: "cheap" });
    expect(findingChanges([finding()], [allowed])).toEqual({ come: [], gone: [finding()] });
    expect(findingChanges([allowed], [finding()])).toEqual({ come: [finding()], gone: [] });
  });

  it("are told worst first, else as they stand", () => {
    const all = [at("a", "1", "note"), at("b", "2", "error"), at("c", "3"), at("d", "4", "error")];
    const sorted = ["error b 2", "error d 4", "warning c 3", "note a 1"];
    expect(between([], all).come).toEqual(sorted);
    expect(between(all, []).gone).toEqual(sorted);
  });
});
