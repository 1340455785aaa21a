import { describe, expect, it } from "vitest";
import { sentence } from "../../../server/language/changes/changes.ts";
import { makeReview, type Verdict } from "../../../server/output/review/review.ts";
import { type Edit, nightGarden, unedited } from "./night-garden.ts";

/**
 * Edits of the demo, and what a review says of each: verdict, sentences with their figures at 20 ppi (those beside the
 * print in brackets), findings that come (+) and go (−).
 */
const CASES: readonly [string, readonly Edit[], Verdict, readonly string[], readonly string[]][] = [
  [
    "hue widened",
    [["hue: [23, 65]", "hue: [19, 70]"]],
    "changed",
    ["ember: hue range widened 23–65 → 19–70; tone up 1.0 % of the print area, in several places"],
    [],
  ],
  [
    "hue narrowed",
    [["hue: [50, 139]", "hue: [54, 135]"]],
    "changed",
    ["gold: hue range narrowed 50–139 → 54–135; tone down 1.6 % of the print area, in several places"],
    [],
  ],
  [
    "hue moved over 0",
    [["hue: [345, 350]", "hue: [355, 5]"]],
    "changed",
    [
      "rose: hue range moved 345–350 → 355–5",
      "ember: tone differs by less than 0.1 % of the print area, mostly at the bottom",
    ],
    [],
  ],
  [
    "hue wraps wider",
    [["hue: [345, 350]", "hue: [340, 10]"]],
    "changed",
    [
      "rose: hue range widened 345–350 → 340–10",
      "ember: tone differs by less than 0.1 % of the print area, mostly at the bottom",
    ],
    [],
  ],
  [
    "lightness",
    [["lightness: [6, 100]", "lightness: [30, 100]"]],
    "changed",
    ["ember: lightness range narrowed 6–100 → 30–100; tone down 1.2 % of the print area, in several places"],
    [],
  ],
  [
    "chroma added",
    [["lightness: [0, 15], fade: 74", "lightness: [0, 15], chroma: [0, 20], fade: 74"]],
    "changed",
    [
      "black: now only chroma 0–20 (fade 74); tone down 0.3 % of the print area, in several places",
      "base: tone up 0.3 % of the print area, in several places",
    ],
    [],
  ],
  [
    "range taken out",
    [["lightness: [16, 85], chroma: [0, 33]", "lightness: [16, 85]"]],
    "changed",
    ["grey: no longer held to chroma 0–33; tone up 1.1 % of the print area, in several places"],
    [],
  ],
  [
    "fade",
    [["[0, 15], fade: 74", "[0, 15], fade: 60"]],
    "changed",
    [
      "black: lightness fade 74 → 60; tone down 2.3 % of the print area, in several places",
      "base: tone up 2.7 % of the print area, in several places",
    ],
    [],
  ],
  [
    "part of any",
    [["chroma: [56, 150], fade: 76", "chroma: [42, 150], fade: 76"]],
    "changed",
    [
      "gold: in one of its parts chroma range widened 56–150 → 42–150; tone up 0.4 % of the print area, in several places",
    ],
    [],
  ],
  [
    "another part of any",
    [
      [
        "        - { chroma: [56, 150], fade: 76 }\n",
        '        - { chroma: [56, 150], fade: 76 }\n        - { near: "#c9c24b", within: 4 }\n',
      ],
    ],
    "changed",
    [
      "gold: now also near #c9c24b within 4; tone differs by less than 0.1 % of the print area, in several places",
    ],
    [],
  ],
  [
    "near moved",
    [["lab(82 -22 9)", "lab(80 -24 9)"]],
    "changed",
    [
      "mint: near lab(82 -22 9) → lab(80 -24 9), ΔE00 1.7",
      "leaf: tone differs by less than 0.1 % of the print area, in several places",
    ],
    [],
  ],
  [
    "within",
    [["within: 5, fade: 8", "within: 8, fade: 8"]],
    "changed",
    ["mint: reach widened, within 5 → 8 ΔE00", "leaf: tone up 0.1 % of the print area, in several places"],
    [],
  ],
  [
    "except",
    [["extract: { artwork: opaque }", "extract: { artwork: opaque, except: { lightness: [0, 10] } }"]],
    "changed",
    ["base: now except lightness 0–10; tone down 1.5 % of the print area, in several places"],
    [],
  ],
  [
    "strength",
    [
      [
        "    strength: { lightness: [[10, 100], [40, 67], [70, 41]], chroma: [[5, 100], [40, 67], [80, 26]] }\n",
        "    strength: darkness\n",
      ],
    ],
    "changed",
    [
      "black: strength by lightness 10→100 40→67 70→41 and chroma 5→100 40→67 80→26 → darkness; tone up 1.9 % and down 1.4 % of the print area, in several places",
      "base: tone up 1.6 % and down 2.0 % of the print area, in several places",
    ],
    [],
  ],
  [
    "strength in curves",
    [["[70, 41]], chroma: [[5, 100]", "[70, 41]], chroma: [[5, 90]"]],
    "changed",
    [
      "black: strength by lightness 10→100 40→67 70→41 and chroma 5→100 40→67 80→26 → by lightness 10→100 40→67 70→41 and chroma 5→90 40→67 80→26; tone down 2.4 % of the print area, in several places",
      "base: tone up 2.6 % of the print area, in several places",
    ],
    [],
  ],
  ["ink of a plate", [["ink: gold\n", "ink: ember\n"]], "changed", ["gold: ink gold → ember"], []],
  [
    "ink colour",
    [["lab(88 6 86)", "lab(85 12 82)"]],
    "changed",
    ["ink gold: colour lab(88 6 86) → lab(85 12 82), ΔE00 4.2"],
    [],
  ],
  [
    "ink opacity",
    [["lab(88 6 86), opacity: 74%", "lab(88 6 86), opacity: 90%"]],
    "changed",
    ["ink gold: opacity 74 % → 90 %"],
    [],
  ],
  [
    "garment colour",
    [["#8c2f2b", "#2b4a8c"]],
    "changed",
    ["garment brick: colour lab(34 39.9 25) → lab(31.9 6.5 −40.9), ΔE00 38.7"],
    [],
  ],
  [
    "garment of a setup",
    [["garments: [black, brick]", "garments: [black]"]],
    "changed",
    ["setup dark: no longer prints on brick"],
    ["+unprinted-garment"],
  ],
  [
    "order",
    [
      [
        "order: [gold, leaf, blue, ember, violet, grey, black]",
        "order: [black, gold, leaf, blue, ember, violet, grey]",
      ],
    ],
    "changed",
    ["black: moved from station 7 to 1 on light"],
    ["+dark-plate-early"],
  ],
  [
    "two moves",
    [
      [
        "[base, flash, gold, leaf, blue, ember, violet, grey, black, glint]",
        "[base, flash, ember, leaf, blue, violet, grey, gold, black, glint]",
      ],
    ],
    "changed",
    ["ember: moved from station 6 to 3 on dark", "gold: moved from station 3 to 8 on dark"],
    [],
  ],
  [
    "a plate left out",
    [["ember, violet, grey, black, glint]", "ember, violet, black, glint]"]],
    "changed",
    ["grey: no longer printed on dark (was at station 8)"],
    [],
  ],
  [
    "flash added",
    [["grey, black, glint]", "grey, black, flash, glint]"]],
    "changed",
    ["setup dark: flash added at station 10 on dark"],
    ["+stations"],
  ],
  [
    "flash gone",
    [["[base, flash, gold", "[base, gold"]],
    "changed",
    ["setup dark: flash taken out of station 2 on dark"],
    ["+flash-after-underbase", "+wet-layers"],
  ],
  [
    "yule-nielsen",
    [["garments: [white]\n", "garments: [white]\n    yule-nielsen: 1.6\n"]],
    "changed",
    ["setup light: Yule–Nielsen n 1 → 1.6"],
    [],
  ],
  [
    "unfolded",
    [
      ["  - { fold: rose, into: ember }\n", ""],
      ["ember, violet, grey, black, glint]", "ember, rose, violet, black, glint]"],
    ],
    "changed",
    [
      "screens: 9 → 10: rose no longer folded into ember",
      "rose: now printed at station 7 on dark",
      "grey: no longer printed on dark (was at station 8)",
      "ember: tone differs by less than 0.1 % of the print area, in several places",
    ],
    [],
  ],
  [
    "folded",
    [
      [
        "  - { fold: mint, into: leaf }\n",
        "  - { fold: mint, into: leaf }\n  - { fold: grey, into: black }\n",
      ],
      ["violet, grey, black, glint]", "violet, black, glint]"],
      ["violet, grey, black]", "violet, black]"],
    ],
    "changed",
    [
      "screens: 9 → 8: grey folded into black",
      "grey: no longer printed on dark (was at station 8); no longer printed on light (was at station 6)",
      "base: tone down 15.4 % of the print area, in several places",
      "black: tone up 14.7 % of the print area, in several places",
    ],
    [],
  ],
  [
    "folded elsewhere",
    [["fold: mint, into: leaf", "fold: mint, into: blue"]],
    "changed",
    [
      "folds: mint folded into blue instead of leaf",
      "leaf: tone down 0.1 % of the print area, in several places",
      "blue: tone up 0.2 % of the print area, in several places",
    ],
    [],
  ],
  [
    "curve",
    [["[30, 36]", "[30, 48]"]],
    "changed",
    [
      "leaf: tone curve in an ellipse at 152.4 × 172.8 mm, radii 53.3 × 50.9 mm, feather 25.3 mm 0→0 30→36 100→100 becomes 0→0 30→48 100→100; tone up 0.3 % of the print area, mostly in the middle",
    ],
    [],
  ],
  [
    "curve with a lesson",
    [
      [
        "curve: [[0, 0], [100, 72]]",
        "curve: [[0, 0], [100, 60]], lesson: { date: 2026-03-14, because: rose ran hot }",
      ],
    ],
    "changed",
    [
      "rose: tone curve 0→0 100→72 becomes 0→0 100→60 (2026-03-14: rose ran hot)",
      "ember: tone differs by less than 0.1 % of the print area, in several places",
    ],
    [],
  ],
  [
    "region",
    [["centre: [50%, 56.7%]", "centre: [50%, 7 in]"]],
    "changed",
    [
      "leaf: tone curve in an ellipse at 152.4 × 172.8 mm, radii 53.3 × 50.9 mm, feather 25.3 mm now works in an ellipse at 152.4 × 177.8 mm, radii 53.3 × 50.9 mm, feather 25.3 mm; tone differs by less than 0.1 % of the print area, mostly in the middle",
    ],
    [],
  ],
  [
    "curve added",
    [["adjust:\n", "adjust:\n  - { plate: blue, curve: [[0, 0], [50, 60], [100, 100]] }\n"]],
    "changed",
    ["blue: tone curve added: 0→0 50→60 100→100; tone up 0.7 % of the print area, in several places"],
    [],
  ],
  [
    "curve taken out",
    [["  - { plate: mint, curve: [[0, 0], [100, 40]] }\n", ""]],
    "changed",
    ["mint: tone curve taken out: 0→0 100→40", "leaf: tone up 0.1 % of the print area, in several places"],
    [],
  ],
  [
    "lesson alone",
    [
      [
        "curve: [[0, 0], [100, 72]]",
        "curve: [[0, 0], [100, 72]], lesson: { date: 2026-03-14, because: rose ran hot }",
      ],
    ],
    "same",
    ["(rose: lesson noted for its tone curve (2026-03-14: rose ran hot))"],
    [],
  ],
  [
    "knockout above a tone",
    [["where: black, choke: 0.2 mm", "where: black, above: 80%, choke: 0.2 mm"]],
    "changed",
    ["base: knockout under black: above 0 → 80 %; tone up 24.3 % of the print area, in several places"],
    [],
  ],
  [
    "kinds of ink, garment, strokes and use",
    [
      [
        "gold: { colour: lab(88 6 86), opacity: 74% }",
        "gold: { colour: lab(88 6 86), opacity: 74%, kind: metallic, density: 1.3 g/cm3, particle: 20 um, mix: { base: 9, yellow: 1 } }",
      ],
      [
        'white: { colour: "#f4f3ef" }',
        'white: { colour: "#f4f3ef", fabric: cotton, weight: 180 g/m2, discharged: "#ffffff" }',
      ],
      ["    purpose: underbase\n", "    purpose: underbase\n    hits: 2\n"],
      ["film: { roll: 17 in }", "film: { roll: 17 in }\nink-use: { transfer: 70%, spoilage: 5% }"],
    ],
    "changed",
    [
      "garment white: discharges to lab(100 0 0)",
      "(garment white: fabric not said → cotton; weight not said → 180 g/m²)",
      "(ink gold: kind not said → metallic; density not said → 1.3 g/cm³; mix not said → base 9, yellow 1; largest particle not said → 20 µm)",
      "(base: strokes 1 → 2)",
      "(ink use: transfer 100 → 70 %; spoilage 3 → 5 %)",
    ],
    ["+ink-mesh"],
  ],
  [
    "knockout choke",
    [["where: black, choke: 0.2 mm", "where: black, choke: 0.4 mm"]],
    "changed",
    ["base: knockout under black: choke 0.2 → 0.4 mm; tone up 1.4 % of the print area, in several places"],
    [],
  ],
  [
    "knockout added",
    [["choke: 0.2 mm }\n", "choke: 0.2 mm }\n  - { from: grey, where: black }\n"]],
    "changed",
    ["grey: knocked out under black; tone down 11.2 % of the print area, in several places"],
    ["+knockout-gap"],
  ],
  [
    "knockout gone",
    [["knockouts:\n  - { from: base, where: black, choke: 0.2 mm }\n", ""]],
    "changed",
    ["base: no longer knocked out under black; tone up 32.2 % of the print area, in several places"],
    [],
  ],
  [
    "trap wider",
    [["plate: base, choke: 0.1 mm", "plate: base, choke: 0.5 mm"]],
    "changed",
    ["base: choke 0.1 → 0.5 mm; tone down 5.2 % of the print area, in several places"],
    ["+knockout-gap"],
  ],
  [
    "trap turned",
    [["plate: base, choke: 0.1 mm", "plate: base, spread: 0.1 mm"]],
    "changed",
    ["base: choked 0.1 mm → spread 0.1 mm; tone up 3.8 % of the print area, in several places"],
    ["+base-peeks"],
  ],
  [
    "trap added",
    [
      [
        "plate: base, choke: 0.1 mm }\n",
        "plate: base, choke: 0.1 mm }\n  - { plate: gold, spread: 0.8 mm }\n",
      ],
    ],
    "changed",
    ["gold: now spread 0.8 mm; tone up 7.1 % of the print area, in several places"],
    [],
  ],
  [
    "ruling",
    [["ruling: 45 lpi", "ruling: 55 lpi"]],
    "changed",
    ["screening: ruling 45 → 55 lpi"],
    ["+moire"],
  ],
  [
    "plate's angle",
    [["ink: gold\n", "ink: gold\n    screening: { angle: 52.5 }\n"]],
    "changed",
    ["gold: angle 22.5 → 52.5°"],
    ["+moire"],
  ],
  [
    "what nothing is solved for",
    [["knockouts:\n", "solve: { garments: { black: 2, white: 1 } }\n\nknockouts:\n"]],
    "same",
    ["(solving: for the first setup's garment → garments black × 2, white × 1)"],
    [],
  ],
  [
    "smallest dot",
    [["smallest-dot: 4%", "smallest-dot: 10%"]],
    "changed",
    [
      "screening: smallest dot 4 → 10 %",
      "base: tone up 0.3 % and down 0.2 % of the print area, in several places",
      "gold: tone up 0.1 % and down 0.1 % of the print area, in several places",
      "ember: tone up 0.1 % and down 0.1 % of the print area, in several places",
      "leaf: tone up 0.2 % and down 0.2 % of the print area, in several places",
      "blue: tone up 0.1 % and down 0.1 % of the print area, in several places",
      "violet: tone up 0.1 % and down 0.1 % of the print area, in several places",
      "grey: tone up 0.1 % and down 0.1 % of the print area, in several places",
      "black: tone up 0.2 % and down 0.3 % of the print area, in several places",
      "glint: tone differs by less than 0.1 % of the print area, mostly in the middle",
    ],
    [],
  ],
  [
    "gain",
    [
      [
        "smallest-dot: 4% }",
        "smallest-dot: 4%, gain: [[0, 0], [50, 66], [100, 100]], lesson: { date: 2026-02-01, because: wedge of lot 7 } }",
      ],
    ],
    "changed",
    ["screening: dot gain at 50 % film: prints 50 → 66 % (2026-02-01: wedge of lot 7)"],
    // Halftones come out as much larger as the screen gains, and now somebody has measured that.
    ["-gain-not-measured"],
  ],
  [
    "uncompensated",
    [["smallest-dot: 4% }", "smallest-dot: 4%, compensate: false, gain: [[0, 0], [50, 66], [100, 100]] }"]],
    "changed",
    ["screening: films no longer compensated for dot gain; dot gain at 50 % film: prints 50 → 66 %"],
    ["-gain-not-measured"],
  ],
  [
    "film",
    [["film: 1200 dpi", "film: 1800 dpi"]],
    "changed",
    ["screening: film resolution 1200 → 1800 dpi"],
    [],
  ],
  [
    "mesh of the shop",
    [["colour: { count: 225/in", "colour: { count: 230/in"]],
    "changed",
    ["gold, ember, leaf, blue, violet, grey, black and glint: mesh colour: count 225/in → 230/in"],
    [],
  ],
  [
    "usual mesh",
    [["usual-mesh: { underbase: base, colour: colour", "usual-mesh: { underbase: base, colour: base"]],
    "changed",
    ["gold, ember, leaf, blue, violet and grey: mesh colour (225/in) → base (122/in)"],
    ["+mesh-ruling"],
  ],
  [
    "width",
    [["width: 12 in", "width: 13 in"]],
    "changed",
    [
      "artwork: printed width 12 in → 13 in",
      // The picture of these tests stays 12 in wide, the region in percent grows.
      "leaf: tone differs by less than 0.1 % of the print area, mostly across the middle",
    ],
    [],
  ],
  [
    "background cut out",
    [["width: 12 in", 'width: 12 in, background: { colour: "#fff", enclosed: cut }']],
    "changed",
    ["artwork: background of lab(100 0 0) is cut out, its colour inside the drawing is cut"],
    [],
  ],
  [
    "flat art",
    [["width: 12 in", 'width: 12 in, flat: { colours: ["#fff", "#c8102e"] }']],
    "changed",
    ["artwork: treated as flat art: lab(100 0 0), lab(43.3 66.3 37.5)"],
    [],
  ],
  [
    "smoothed, and another page",
    [["width: 12 in", "width: 12 in, page: 2, smooth: 8"]],
    "changed",
    ["artwork: page 1 → 2; smoothing off → 8"],
    [],
  ],
  [
    "margins",
    [["width: 12 in", "width: 12 in, margins: { left: 4% }"]],
    "changed",
    [
      "artwork: printed width 12 in → 12.5 in; margin left 0 → 4 %",
      // The picture of these tests stays 12 in wide, the region in percent grows.
      "leaf: tone differs by less than 0.1 % of the print area, mostly across the middle",
    ],
    [],
  ],
  [
    "new plate",
    [
      ["  glint:\n", "  teal: { ink: mint, extract: { hue: [185, 200], chroma: [20, 150] } }\n  glint:\n"],
      ["grey, black, glint]", "grey, teal, black, glint]"],
    ],
    "changed",
    [
      "screens: 9 → 10",
      "teal: new plate in ink mint: chroma 20–150 and hue 185–200; now printed at station 9 on dark",
    ],
    ["+stations", "+wet-layers"],
  ],
  [
    "plate renamed",
    [
      ["  glint:\n", "  sparkle:\n"],
      ["grey, black, glint]", "grey, black, sparkle]"],
    ],
    "same",
    ["(sparkle: was called glint)"],
    [],
  ],
  [
    "title",
    [["Night Garden volunteers' tee", "Night Garden helpers' tee"]],
    "same",
    ["(title: “Night Garden volunteers' tee” → “Night Garden helpers' tee”)"],
    [],
  ],
  ["press", [["stations: 10", "stations: 12"]], "same", ["(press: stations 10 → 12)"], []],
  [
    "rule level",
    [["shop: 1\n", "shop: 1\nrules: { job-cost: off }\n"]],
    "same",
    ["(rule job-cost: level usual → off)"],
    ["-job-cost"],
  ],
  [
    "error",
    [["ink: gold\n", "ink: golt\n"]],
    "worse",
    ["recipe: plates cannot be made from the new one; see its findings"],
    ["+unknown-name", "-gain-not-measured", "-job-cost"],
  ],
];

/** What prints the same: nothing is said at all. */
const SAME: readonly [string, readonly Edit[]][] = [
  ["a comment", [["garments:\n  black", "garments: # three\n  # the darkest first\n  black"]]],
  ["a unit", [["width: 12 in", "width: 30.48 cm"]]],
  ["a unit of a small length", [["where: black, choke: 0.2 mm", "where: black, choke: 200 um"]]],
  ["a colour in capitals", [["#8c2f2b", "#8C2F2B"]]],
  ["a colour in decimals", [["lab(88 6 86)", "lab(88.0 6.00 86)"]]],
  [
    "the order of keys",
    [
      [
        "ink: mint\n    extract: { near: lab(82 -22 9), within: 5, fade: 8 }",
        "extract: { fade: 8, within: 5, near: lab(82 -22 9) }\n    ink: mint",
      ],
    ],
  ],
  ["one fade for each range", [["[0, 15], fade: 74", "[0, 15], fade: { lightness: 74 }"]]],
  [
    "the order of parts",
    [
      ["        - { chroma: [124, 150], fade: 55 }\n", ""],
      [
        "fade: { lightness: 28, chroma: 4 } }\n      fade: { hue: 29",
        "fade: { lightness: 28, chroma: 4 } }\n        - { chroma: [124, 150], fade: 55 }\n      fade: { hue: 29",
      ],
    ],
  ],
  ["what is usual, said", [["ink: mint\n", "ink: mint\n    purpose: colour\n    strength: flat\n"]]],
  ["a ruling by the centimetre", [["ruling: 45 lpi", "ruling: 17.716535433 l/cm"]]],
  [
    "an ink that nothing prints",
    [["  violet: { colour", "  moss: { colour: lab(40 -20 20), opacity: 60% }\n  violet: { colour"]],
  ],
];

describe("a review of the demo", () => {
  it.each(CASES)("tells %s", async (_, edits, verdict, sentences, findings) => {
    const review = makeReview(await unedited(), await nightGarden(...edits));
    expect(review.said.map((one) => (one.prints ? sentence(one) : `(${sentence(one)})`))).toEqual(sentences);
    const { come, gone } = review.findings;
    expect([...come.map(({ rule }) => `+${rule}`), ...gone.map(({ rule }) => `-${rule}`)]).toEqual(findings);
    expect(review.verdict).toBe(verdict);
  });

  it.each(SAME)("says nothing of %s", async (_, edits) => {
    const review = makeReview(await unedited(), await nightGarden(...edits));
    expect([review.verdict, review.said, review.findings]).toEqual(["same", [], { come: [], gone: [] }]);
  });
});
