import { describe, expect, it } from "vitest";
import { panelEdit } from "../../../server/features/panel/edits.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { assembleProject } from "../../../server/language/project.ts";
import { checkProject } from "../../../server/rules/check.ts";
import type { PanelEdit } from "../../../server/wire/panel.ts";
import { type Beside, edited, read, SOUND, soundBut } from "../model.ts";

const SHELF = `shop: 1
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 71% }
`;

/** The text after the edit; it must parse, and have no error that it had not before. */
function written(text: string, edit: PanelEdit, beside: Beside = {}): string {
  const { model } = read(text, beside);
  const answer = panelEdit(model, edit);
  if ("refused" in answer) throw new Error(answer.refused);
  const result = edited(model, [...answer.edits]);
  const shop = beside.shop === undefined ? undefined : parseDocument("b.shop.yaml", beside.shop, "shop");
  const errors = checkProject(assembleProject(parseDocument("a.sep.yaml", result), shop, true));
  expect(errors.filter(({ level }) => level === "error")).toEqual([]);
  return result;
}

function refusal(text: string, edit: PanelEdit): string | undefined {
  const answer = panelEdit(read(text).model, edit);
  return "refused" in answer ? answer.refused : undefined;
}

const ember = (extract: string) => soundBut("{ ink: ember, extract: { hue: [350, 50] } }", extract);
const take = { kind: "extract", colour: [1, 2, 255], into: "ember" } as const;
const NEAR = '{ near: "#0102ff", within: 8, fade: 6 }';

describe("a colour for a plate to take as well", () => {
  it.each([
    [
      "ranges on one line become the first of two choices",
      "{ ink: ember, extract: { hue: [350, 50] } }",
      `{ ink: ember, extract: { any: [{ hue: [350, 50] }, ${NEAR}] } }`,
    ],
    [
      "a choice gets one more",
      "{ ink: ember, extract: { any: [{ hue: [350, 50] }] } }",
      `{ ink: ember, extract: { any: [{ hue: [350, 50] }, ${NEAR}] } }`,
    ],
    [
      "a choice among other conditions is no choice of its own",
      "{ ink: ember, extract: { any: [{ hue: [350, 50] }], lightness: [0, 50] } }",
      `{ ink: ember, extract: { any: [{ any: [{ hue: [350, 50] }], lightness: [0, 50] }, ${NEAR}] } }`,
    ],
    [
      "a block moves to the right, comments and blank lines with it",
      "\n    ink: ember\n    extract:\n      # warm\n      hue: [350, 50] # all reds\n\n      any:\n        - { chroma: [20, 90] }\n      fade: 9 # soft",
      `\n    ink: ember\n    extract:\n      # warm\n      any:\n        - hue: [350, 50] # all reds\n\n          any:\n            - { chroma: [20, 90] }\n          fade: 9 # soft\n        - ${NEAR}`,
    ],
    [
      "a choice in a block gets one more line",
      "\n    ink: ember\n    extract:\n      any:\n        - { chroma: [20, 90] } # vivid",
      `\n    ink: ember\n    extract:\n      any:\n        - { chroma: [20, 90] } # vivid\n        - ${NEAR}`,
    ],
  ])("%s", (_what, before, expected) => {
    expect(written(ember(before), take)).toBe(ember(expected));
  });

  it("keeps the line breaks of the file", () => {
    const text = ember("\n    ink: ember\n    extract:\n      hue: [350, 50]\n      fade: 9").replaceAll(
      "\n",
      "\r\n",
    );
    expect(written(text, take)).toContain(
      `any:\r\n        - hue: [350, 50]\r\n          fade: 9\r\n        - ${NEAR}\r\n`,
    );
  });

  it.each([
    ["takes all already", "{ ink: ember, extract: { artwork: opaque } }", /takes all of the artwork already/],
    ["stands for another place", "&e { ink: ember, extract: &x { hue: [350, 50] } }", /anchor or an alias/],
    ["has no extract", "{ ink: ember }", /has no extract yet/],
  ])("is refused where the plate %s", (_what, before, expected) => {
    expect(refusal(ember(before), take)).toMatch(expected);
  });
});

describe("a plate for a colour", () => {
  it("prints the nearest ink, under a free name, in every setup before the highlights", () => {
    const text = written(SOUND, { kind: "extract", colour: [216, 60, 30], into: undefined });
    expect(text).toContain('  ember-2: { ink: ember, extract: { near: "#d83c1e", within: 8, fade: 6 } }\n');
    expect(text).toContain("order: [base, flash, ember, ember-2]");
  });

  it("is named after its ink where no plate is", () => {
    const text = written(
      soundBut("  ember: { ink: ember, extract: { hue: [350, 50] } }\n", "").replace(", ember]", "]"),
      {
        kind: "extract",
        colour: [216, 60, 30],
        into: undefined,
      },
    );
    expect(text).toContain("  ember: { ink: ember, extract: { near");
  });
});

describe("a colour for an ink", () => {
  const give = { kind: "ink", ink: "ember", colour: [0, 128, 9] } as const;
  it("takes the place of the one it had", () => {
    expect(written(SOUND, give)).toBe(SOUND.replace('"#d8431f"', '"#008009"'));
  });

  it("gives a job whose inks are the shop's an ink of its own, as opaque as the shop's", () => {
    const text = SOUND.replace(/inks:\n.*\n.*\n/, "").replace(
      "recipe: 1\n",
      "recipe: 1\nshop: ../back-lane.shop.yaml\n",
    );
    expect(written(text, give, { shop: SHELF })).toBe(
      text.replace("plates:\n", 'inks:\n  ember: { colour: "#008009", opacity: 71% }\nplates:\n'),
    );
  });

  it("is refused where there is no such ink", () => {
    expect(refusal(SOUND, { ...give, ink: "gold" })).toBe("there is no ink gold");
  });
});

describe("a region", () => {
  const drawn = {
    kind: "adjust",
    plate: "ember",
    middle: 61.4,
    region: { shape: "ellipse", centre: [25.4, 12.7], radii: [6.35, 5.08], feather: 2.54 },
  } as const;
  const INCHES =
    "{ plate: ember, region: { ellipse: { centre: [1 in, 0.5 in], radii: [0.25 in, 0.2 in] }, feather: 0.1 in }, curve: [[0, 0], [50, 61], [100, 100]] }";

  it("starts the list, in the unit of the job's width", () => {
    expect(written(SOUND, drawn)).toBe(SOUND.replace("setups:", `adjust:\n  - ${INCHES}\nsetups:`));
  });

  it("goes to the end of the list, in the list's own style", () => {
    const flow = `${SOUND}adjust: [{ plate: base, curve: [[0, 0], [100, 90]] }]\n`;
    expect(written(flow, drawn)).toContain(`[100, 90]] }, ${INCHES}]\n`);
  });

  it.each([
    ["2 in", "[0.39 in, 0.79 in]"],
    ["50 mm", "[10 mm, 20 mm]"],
    ["5 cm", "[1 cm, 2 cm]"],
  ])("of a job %s wide has corners such as %s", (width, corner) => {
    const polygon = {
      shape: "polygon",
      points: [
        [10, 20],
        [30, 20],
        [20, 40],
      ],
      feather: 0,
    } as const;
    const text = written(soundBut("2 in", width), { ...drawn, region: polygon });
    expect(text).toContain(`region: { polygon: [${corner}, `);
    expect(text).not.toContain("feather");
  });
});

it("an order in brackets changes places, and no more", () => {
  const text = written(SOUND, { kind: "order", setup: "dark", order: [0, 2, 1] });
  expect(text).toBe(SOUND.replace("[base, flash, ember]", "[base, ember, flash]"));
});

describe("the background", () => {
  const cut = soundBut("width: 2 in", 'width: 2 in, background: { colour: "#ffffff" }');
  const edit = (to: Extract<PanelEdit, { kind: "background" }>["to"]) =>
    ({ kind: "background", to }) as const;

  it("is cut out by a colour, and left in again", () => {
    expect(written(SOUND, edit({ colour: [255, 255, 255] }))).toBe(cut);
    expect(written(cut, edit("none"))).toBe(SOUND);
  });

  it("gets another colour, and what becomes of enclosed parts", () => {
    expect(written(cut, edit({ colour: [250, 250, 245] }))).toBe(cut.replace("#ffffff", "#fafaf5"));
    const enclosed = written(cut, edit({ enclosed: "cut" }));
    expect(enclosed).toBe(cut.replace('"#ffffff" }', '"#ffffff", enclosed: cut }'));
    expect(written(enclosed, edit({ enclosed: "kept" }))).toBe(
      enclosed.replace("enclosed: cut", "enclosed: kept"),
    );
  });

  it("that there is none of has no enclosed parts", () => {
    expect(refusal(SOUND, edit({ enclosed: "cut" }))).toBe("nothing is cut out as background yet");
  });
});
