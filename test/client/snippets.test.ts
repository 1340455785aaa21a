import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import snippets from "../../client/snippets.json" with { type: "json" };
import { read, soundBut } from "../features/model.ts";

/** The text as it stands before anything is typed over. */
const plain = (body: readonly string[]) =>
  body.join("\n").replace(/\$\{\d+(?::([^}]*)|\|([^,]*)[^}]*)\}/g, (_, text, first) => text ?? first);

/** Where each kind of snippet belongs, in a job whose plates and inks have the names that snippets start with. */
const JOB = `recipe: 1
artwork: { file: art.png, width: 2 in }
garments:
  black: { colour: "#17171a" }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  grey: { colour: "#7b8088", opacity: 70% }
  black: { colour: "#131316", opacity: 97% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50] } }
  rose: { ink: ember, extract: { hue: [300, 340] } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18] } }
setups:
  dark: { garments: [black], order: [base, flash, ember, black] }
`;
const replaced = (pattern: RegExp, by: string) => JOB.replace(pattern, () => by);
const section = (key: string, body: string) => `${JOB}${key}:\n${body.replace(/^/gm, "  ")}\n`;

const IN_PLACE: Readonly<Record<string, (body: string) => string>> = {
  Underbase: (body) => replaced(/base: \{ ink.*/, body),
  "Colour plate": (body) => replaced(/ember: \{ ink: .*/, body),
  "Plate near a colour": (body) => replaced(/plates:\n/, `plates:\n  ${body}\n`),
  "Shadow plate": (body) => replaced(/black: \{ ink: .*/, body),
  "Highlight plate": (body) => replaced(/plates:\n/, `plates:\n  ${body}\n`),
  "Solved plate": (body) => replaced(/ember: \{ ink: .*/, body),
  Ink: (body) => replaced(/ember: \{ colour.*/, body),
  "Measured ink": (body) => replaced(/inks:\n/, `inks:\n  ${body}\n`),
  "Adjustment in an ellipse": (body) => section("adjust", body),
  Fold: (body) => section("merges", body),
  Knockout: (body) => section("knockouts", body),
  Choke: (body) => section("traps", body),
  Setup: (body) => replaced(/dark: \{ garments.*/, body),
};

describe("snippets", () => {
  it.each(Object.entries(IN_PLACE))("%s is sound where it belongs", (name, inPlace) => {
    const body = plain(snippets[name as keyof typeof snippets].body);
    const text = inPlace(body);
    for (const line of body.split("\n")) expect(text).toContain(line);
    const { findings } = read(text).model;
    expect(findings.filter(({ level }) => level === "error").map(({ message }) => message)).toEqual([]);
    expect(parseDocument(text).errors).toEqual([]);
  });

  it("allow a finding by a comment that the rules understand", () => {
    const comment = plain(snippets["Allow a finding"].body);
    const { findings } = read(soundBut("plates:", `${comment}\nplates:`)).model;
    expect(findings.map(({ rule }) => rule)).not.toContain("unexplained-allowance");
    expect(comment).toMatch(/^# allow near-empty-plate: /);
  });

  it("are all tried here", () => {
    expect(Object.keys(snippets).sort()).toEqual([...Object.keys(IN_PLACE), "Allow a finding"].sort());
  });
});
