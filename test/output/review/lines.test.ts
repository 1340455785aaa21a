import { describe, expect, it } from "vitest";
import {
  areaText,
  arrow,
  coverageText,
  deltaText,
  findingText,
  platesToTell,
  sentences,
  verdictText,
  visibleText,
} from "../../../server/output/review/lines.ts";
import { FIGURES, finding, review, side } from "./reviews.ts";

describe("a review's verdict", () => {
  const change = (prints: boolean) => ({ subject: "a", plates: [], text: "b", prints });

  it("counts what changes the print", () => {
    const of = (...prints: boolean[]) => verdictText(review({ said: prints.map(change) }));
    expect([of(true), of(true, false, true), of(false)]).toEqual([
      "1 change to the print",
      "2 changes to the print",
      "no change to the print",
    ]);
    expect(verdictText(review({ verdict: "same", said: [change(true)] }))).toBe("no change to the print");
  });

  it("counts new errors, or says that there are no plates", () => {
    const worse = (errors: number) =>
      verdictText(
        review({
          verdict: "worse",
          findings: { come: [finding(), ...Array(errors).fill(finding({ level: "error" }))], gone: [] },
        }),
      );
    expect([worse(1), worse(2)]).toEqual([
      "1 change to the print, 1 new error",
      "1 change to the print, 2 new errors",
    ]);
    const after = { ...side("new.sep.yaml"), made: undefined };
    expect(verdictText(review({ verdict: "worse", after }))).toBe("plates cannot be made");
  });
});

it("sentences are those of the print, and those beside it", () => {
  expect(sentences(review())).toEqual({ prints: ["ember: tone up 10.0 %"], beside: ["title: “A” → “B”"] });
});

it("plates are told that differ, came or went", () => {
  expect(platesToTell(review()).map(({ name }) => name)).toEqual(["ember", "rose", "gold"]);
  expect(platesToTell(review({ figures: undefined }))).toEqual([]);
  const [, ember] = FIGURES.plates;
  const less = { ...FIGURES, plates: [{ ...ember!, up: 0, down: 0.1 }] };
  expect(platesToTell(review({ figures: less as never }))).toHaveLength(1);
});

it("figures have their units, and a dash where there are none", () => {
  expect([coverageText(0.1234), coverageText(undefined)]).toEqual(["12.3 %", "–"]);
  expect([areaText(1.25), areaText(undefined)]).toEqual(["1.3 cm²", "–"]);
  expect([deltaText(1.254), deltaText(undefined)]).toEqual(["1.25", "–"]);
  expect([arrow("a", "b"), arrow("a", "a")]).toEqual(["a → b", "a"]);
});

it("what is visible has its place", () => {
  const of = (visibleCm2: number | undefined, where: string) =>
    visibleText({ ...FIGURES.garments[0]!, visibleCm2, where });
  expect([of(2, "upper left"), of(2, "in several places"), of(0, ""), of(undefined, "")]).toEqual([
    "2.0 cm², mostly upper left",
    "2.0 cm², in several places",
    "nothing",
    "–",
  ]);
});

it("a finding has its level, place and rule", () => {
  expect(findingText(finding())).toBe("warning: inks.ember: It is *thin*. [a-rule]");
  expect(findingText(finding({ path: [], level: "error" }))).toBe("error: It is *thin*. [a-rule]");
});
