import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { allowancesIn } from "../../server/rules/allowances.ts";
import { findingsOf } from "./example.ts";

const INKS = `inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  black: { colour: "#131316", opacity: 97% }
`;
const SLATE = '  slate: { colour: "#7b8088", opacity: 70% }';

/** What is found, and the reason where it is allowed. */
const told = (example: string) =>
  findingsOf(example).map(({ rule, allowed, message }) =>
    allowed === undefined ? `${rule}: ${message}` : `${rule} allowed: ${allowed}`,
  );

describe("an allowance", () => {
  it.each([
    ["on the line above", `${INKS}  # allow unused-ink: for the second edition\n${SLATE}`],
    ["behind the thing itself", `${INKS}${SLATE} # allow unused-ink: for the second edition`],
    ["above the whole section", `# allow unused-ink: for the second edition\n${INKS}${SLATE}`],
    ["above other comments", `${INKS}  # allow unused-ink: for the second edition\n\n  # a grey\n${SLATE}`],
    ["with blanks as they come", `${INKS}  #allow  unused-ink :  for the second edition  \n${SLATE}`],
  ])("holds %s", (_, text) => {
    expect(told(text)).toEqual(["unused-ink allowed: for the second edition"]);
  });

  it("reaches into the lines below that are deeper, and no further", () => {
    const deep = `adjust:
  # allow unused-ink: not here
  - { plate: ember, curve: [[0, 0], [100, 90]] }
${INKS}${SLATE}`;
    expect(told(deep)).toEqual([
      'unused-ink: No plate prints ink "slate"; give it to a plate, or take it out',
      'idle-allowance: Nothing here needs this allowance of "unused-ink" any more; take the comment out',
    ]);
  });

  it("needs its reason", () => {
    expect(told(`${INKS}  # allow unused-ink\n${SLATE}`)).toEqual([
      'unexplained-allowance: Say behind a colon why "unused-ink" is allowed here; without a reason it is not',
      'unused-ink: No plate prints ink "slate"; give it to a plate, or take it out',
    ]);
  });

  it("names a rule that there is", () => {
    expect(told(`${INKS}  # allow unused-inks: for later\n${SLATE}`)[0]).toBe(
      'idle-allowance: There is no rule "unused-inks" to allow; did you mean "unused-ink"?',
    );
  });

  it("cannot be made for what keeps the recipe from being read", () => {
    const found = told("# allow self-knockout: it is meant\nknockouts: [{ from: base, where: base }]");
    expect(found).toContain(
      'idle-allowance: What "self-knockout" finds makes the recipe unreadable, so it cannot be allowed; correct it',
    );
    expect(found.some((line) => line.startsWith("self-knockout: "))).toBe(true);
  });

  it("of a rule that has not looked yet is not idle", () => {
    const text = "# allow near-empty-plate: the stars\ntitle: Night Garden";
    expect(told(text)).toEqual([]);
    expect(findingsOf(text, { pixels: [] }).map(({ rule }) => rule)).toEqual(["idle-allowance"]);
  });

  it("covers what the pixels say", () => {
    const mark = {
      rule: "near-empty-plate",
      path: ["plates", "glint"],
      part: "key",
      message: "little",
    } as const;
    const plates = `plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50] } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18] } }
  # allow near-empty-plate: the stars
  glint: { ink: white, purpose: highlight, extract: { lightness: [92, 100] } }`;
    const found = findingsOf(plates, { pixels: [mark] });
    expect(found.map(({ rule, allowed }) => [rule, allowed])).toEqual([["near-empty-plate", "the stars"]]);
  });

  it.each([
    ["in a quoted text", 'title: "a # allow unused-ink: no comment"'],
    ["in a text over several lines", "title: |\n  # allow unused-ink: no comment\n  more"],
    ["in a word", "title: a#allow unused-ink: no comment"],
  ])("is no allowance %s", (_, text) => {
    expect(allowancesIn(parseDocument("a.sep.yaml", text))).toEqual([]);
  });

  it("is found whatever ends the lines", () => {
    const [found] = allowancesIn(parseDocument("a.sep.yaml", "a: 1\r\n# allow x: why\r\nb: 1\r\n"));
    expect(found).toMatchObject({ rule: "x", reason: "why", range: { start: 6, end: 20 } });
  });
});
