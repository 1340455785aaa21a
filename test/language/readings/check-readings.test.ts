import { describe, expect, it } from "vitest";
import { openProject } from "../../../server/language/project.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { expectOneFinding, filesInMemory, findingsIn, soundBut } from "../documents.ts";

const DRAW_DOWNS = `ISO28178
BEGIN_DATA_FORMAT
SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
"ember on white" 55.8 57.1 54.6
"ember on black" 45.9 47.5 38.2
END_DATA
`;
const WEDGE = `CGATS.17
BEGIN_DATA_FORMAT
SAMPLE_ID CMYK_K LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
1 0 92 0 2
2 25 74 0 1
3 50 54 0 1
4 75 36 0 0
5 100 20 0 0
END_DATA
`;
const EMBER = 'ember: { colour: "#d8431f", opacity: 70% }';
const MEASURED =
  "ember: { readings: { file: dd.txt, over-white: ember on white, over-black: ember on black } }";
const FILES = { "dd.txt": DRAW_DOWNS, "wedge.txt": WEDGE };

async function resolved(text: string, others: Readonly<Record<string, string>> = {}) {
  const access = filesInMemory({ "a.sep.yaml": text, "art.png": "", ...FILES, ...others });
  const { main, shop, readings, findings } = await openProject("a.sep.yaml", access);
  expect(findings).toEqual([]);
  return resolveRecipe(main, shop, readings);
}

describe("a measured ink", () => {
  it("is known by its colours over white and over black, and has an opacity", async () => {
    const { inks } = await resolved(
      soundBut(EMBER, "ember: { over-white: lab(55.8 57.1 54.6), over-black: lab(45.9 47.5 38.2) }"),
    );
    const ember = inks.get("ember")!;
    expect(ember.colour.lab).toEqual({ L: 55.8, a: 57.1, b: 54.6 });
    expect(ember.film).toEqual({
      overWhite: { L: 55.8, a: 57.1, b: 54.6 },
      overBlack: { L: 45.9, a: 47.5, b: 38.2 },
      card: undefined,
    });
    // Y of L* 45.9 over Y of L* 55.8.
    expect(ember.opacity).toBeCloseTo((61.9 / 71.8) ** 3, 3);
  });

  it("is the same from a file, beside the recipe or beside the shop file", async () => {
    const own = await resolved(soundBut(EMBER, MEASURED));
    const shop = `shop: 1\ncard: { white: lab(95 0 2), black: lab(10 0 0) }\ninks: { ${MEASURED} }\n`;
    const fromShop = await resolved(soundBut(`  ${EMBER}\n`, "").concat("shop: b.shop.yaml\n"), {
      "b.shop.yaml": shop,
    });
    expect(own.inks.get("ember")!.film).toMatchObject({ overWhite: { L: 55.8, a: 57.1, b: 54.6 } });
    expect(fromShop.inks.get("ember")!.film).toEqual({
      ...own.inks.get("ember")!.film,
      card: { white: { L: 95, a: 0, b: 2 }, black: { L: 10, a: 0, b: 0 } },
    });
  });
});

describe("dot gain", () => {
  const gainOf = async (screening: string, ink = EMBER, shop?: string) => {
    const recipe = await resolved(
      soundBut(EMBER, ink).concat(screening, shop ? "shop: b.shop.yaml\n" : ""),
      shop ? { "b.shop.yaml": shop } : {},
    );
    return [recipe.screening.gain, recipe.inks.get("ember")!.gain, recipe.screening.compensate] as const;
  };

  it("is a table of the screening or of an ink, in the engine from 0 to 1", async () => {
    const table = [
      [0, 0],
      [0.5, 0.66],
      [1, 1],
    ];
    expect(await gainOf("screening: { gain: [[0, 0], [50, 66], [100, 100]], compensate: false }\n")).toEqual([
      { table },
      undefined,
      false,
    ]);
    expect(await gainOf("", EMBER.replace(" }", ", gain: [[0, 0], [50, 66], [100, 100]] }"))).toEqual([
      undefined,
      { table },
      true,
    ]);
  });

  it("is read from a wedge", async () => {
    const [gain] = await gainOf("screening: { wedge: { file: wedge.txt } }\n");
    expect(gain && "steps" in gain && gain.steps.map(({ tone }) => tone)).toEqual([0, 0.25, 0.5, 0.75, 1]);
  });

  it("of the recipe goes before the shop's, however each is written", async () => {
    const shop = "shop: 1\nscreening: { wedge: { file: wedge.txt } }\n";
    const [gain] = await gainOf("screening: { gain: [[0, 0], [50, 66], [100, 100]] }\n", EMBER, shop);
    expect(gain).toHaveProperty("table");
    expect((await gainOf("", EMBER, shop))[0]).toHaveProperty("steps");
  });
});

describe("what is wrong with a gain", () => {
  it.each<[string, string, string, string]>([
    [
      "no beginning",
      "«[5, 8]», [100, 100]",
      "[0]",
      "The table begins at [5, 8]; it runs from [0, 0] to [100, 100], nothing to solid",
    ],
    [
      "no end",
      "[0, 0], «[90, 96]»",
      "[1]",
      "The table ends at [90, 96]; it runs from [0, 0] to [100, 100], nothing to solid",
    ],
    [
      "film tones that fall",
      "[0, 0], [50, 60], «[40, 70]», [100, 100]",
      "[2]",
      "Film tone goes from 50 to 40; it must rise from pair to pair",
    ],
    [
      "printed tones that fall",
      "[0, 0], [40, 70], «[50, 60]», [100, 100]",
      "[2]",
      "Printed tone goes from 70 to 60 while film tone rises; a screen prints more where the film asks for more",
    ],
    [
      "printed tones that stand still",
      "[0, 0], [40, 60], «[50, 60]», [100, 100]",
      "[2]",
      "Printed tone goes from 60 to 60 while film tone rises; a screen prints more where the film asks for more",
    ],
    [
      "a film tone that stands twice",
      "[0, 0], [40, 60], «[40, 70]», [100, 100]",
      "[2]",
      "Film tone goes from 40 to 40; it must rise from pair to pair",
    ],
    [
      "solid that prints as less",
      "[0, 0], «[100, 96]»",
      "[1]",
      "The table ends at [100, 96]; it runs from [0, 0] to [100, 100], nothing to solid",
    ],
  ])("%s", async (_, table, at, message) => {
    await expectOneFinding(
      soundBut(EMBER, `${EMBER.replace(" }", "")}, gain: [${table}] }`),
      "gain-table",
      `inks.ember.gain${at}`,
      message,
    );
    await expectOneFinding(
      soundBut("setups:", `screening: { gain: [${table}] }\nsetups:`),
      "gain-table",
      `screening.gain${at}`,
      message,
    );
  });

  it("a tone outside of 0 to 100", async () => {
    await expectOneFinding(
      soundBut("setups:", "screening: { gain: [[0, 0], [50, «104»], [100, 100]] }\nsetups:"),
      "schema",
      "screening.gain[1][1]",
      "104 is too large; the most is 100",
    );
  });

  it("both a table and a wedge", async () => {
    const both = "screening: { gain: [[0, 0], [100, 100]], wedge: «{ file: wedge.txt }» }\nsetups:";
    await expectOneFinding(
      soundBut("setups:", both),
      "gain-table",
      "screening.wedge",
      "Gain and wedge both say how tones grow; keep one of them",
      FILES,
    );
  });

  it("is silent of a sound table", async () => {
    expect(
      await findingsIn(soundBut("setups:", "screening: { gain: [[0, 0], [50, 66], [100, 100]] }\nsetups:")),
    ).toEqual([]);
  });
});

describe("colours that contradict each other", () => {
  it("an ink lighter over black than over white, beyond what an instrument repeats", async () => {
    const ink = (dark: string) => `ember: { over-white: lab(55.8 57.1 54.6), over-black: ${dark} }`;
    await expectOneFinding(
      soundBut(EMBER, ink("«lab(56.4 47.5 38.2)»")),
      "reading",
      "inks.ember.over-black",
      "Over black reads L* 56.4, lighter than over white, 55.8; are the two swapped?",
    );
    expect(await findingsIn(soundBut(EMBER, ink("lab(56.2 47.5 38.2)")))).toEqual([]);
  });

  it("a card whose black is no darker than its white", async () => {
    const access = filesInMemory({
      "b.shop.yaml": "shop: 1\ncard: { white: lab(11 0 0), black: lab(95 0 2) }\n",
    });
    const { findings } = await openProject("b.shop.yaml", access);
    expect(findings.map(({ rule, path, message }) => [rule, path, message])).toEqual([
      [
        "reading",
        ["card", "black"],
        "the card's black reads L* 95, no darker than its white, 11; are the two swapped?",
      ],
    ]);
  });
});

describe("what is wrong with a file of readings is said where it is named:", () => {
  const wedged = (file: string) => soundBut("setups:", `screening: { wedge: { file: ${file} } }\nsetups:`);
  it("a file that is not there", async () => {
    await expectOneFinding(
      wedged("«none.txt»"),
      "missing-file",
      "screening.wedge.file",
      "The readings cannot be read: none.txt: there is no such file",
    );
  });

  it("a file that is broken, with line and column", async () => {
    const broken = { "w.txt": WEDGE.replace("2 25 74", "2 25") };
    await expectOneFinding(
      wedged("«w.txt»"),
      "reading",
      "screening.wedge.file",
      "w.txt:7:8: this row has 4 values, but the format names 5 fields",
      broken,
    );
  });

  it.each([
    [
      "no bare ground",
      WEDGE.replace("1 0 92 0 2\n", ""),
      "w.txt:6:1: the wedge begins at 25 %; its bare ground, 0 %, is needed",
    ],
    [
      "no solid",
      WEDGE.replace("5 100 20 0 0\n", ""),
      "w.txt:9:1: the wedge ends at 75 %; its solid, 100 %, is needed",
    ],
    [
      "a solid that reads as what is bare",
      WEDGE.replace("5 100 20 0 0", "5 100 92 0 2"),
      "w.txt:10:1: the wedge's solid reads as its bare garment does; measure it again",
    ],
    [
      "a step that goes back",
      WEDGE.replace("3 50 54", "3 50 78"),
      "w.txt:8:1: at 50 % film the wedge prints 35.2 %, no more than at 25 %; measure it again",
    ],
  ])("a wedge with %s", async (_, text, message) => {
    await expectOneFinding(wedged("«w.txt»"), "reading", "screening.wedge.file", message, { "w.txt": text });
  });

  it("a sample that the file does not have", async () => {
    const ink = MEASURED.replace("over-white: ember on white", "over-white: «ember on withe»");
    await expectOneFinding(
      soundBut(EMBER, ink),
      "reading",
      "inks.ember.readings.over-white",
      'dd.txt:1:1: there is no sample "ember on withe"; did you mean "ember on white"?',
      FILES,
    );
  });

  it("samples over white and over black that are swapped, with the line", async () => {
    await expectOneFinding(
      soundBut(
        EMBER,
        "ember: { readings: { file: dd.txt, over-white: ember on black, over-black: «ember on white» } }",
      ),
      "reading",
      "inks.ember.readings.over-black",
      "dd.txt:6:1: over black reads L* 55.8, lighter than over white, 45.9; are the two swapped?",
      FILES,
    );
  });

  it("a file that was cut off warns, and is read", async () => {
    const found = await findingsIn(soundBut(EMBER, MEASURED), {
      "dd.txt": DRAW_DOWNS.replace("END_DATA\n", "").replace("END_DATA_FORMAT", "END_DATA_FORMAT\n"),
    });
    expect(found.map(({ level, rule }) => `${level} ${rule}`)).toEqual(["warning reading"]);
  });
});

describe("an ink", () => {
  it.each([
    [
      "«ember»: { opacity: 70% }",
      '"opacity" needs "colour" beside it; colour of a solid print over a white ground, as hex or as measured CIELAB',
    ],
    [
      '«ember»: { colour: "#d8431f" }',
      '"colour" needs "opacity" beside it; contrast ratio (ISO 6504-3): luminance over black divided by luminance over white',
    ],
    [
      "«ember»: { over-black: lab(40 1 1) }",
      '"over-black" needs "over-white" beside it; measured colour of a solid print over white',
    ],
    ["«ember»: {}", "Needs exactly one of colour, over-white, readings"],
    [
      '«ember»: { colour: "#d8431f", opacity: 70%, over-white: lab(50 1 1), over-black: lab(40 1 1) }',
      "Needs exactly one of colour, over-white, readings",
    ],
  ])("is told in one sentence what it lacks: %s", async (ink, message) => {
    await expectOneFinding(soundBut(EMBER, ink), "schema", "inks.ember", message);
  });
});
