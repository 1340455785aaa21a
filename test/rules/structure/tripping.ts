import { sentence } from "../../../server/language/words.ts";
import { SOUND, soundBut } from "../../language/documents.ts";

/** For each rule a recipe that trips it and no other, and a near twin that nothing is said of. */
export interface Tripping {
  readonly rule: string;
  readonly name: string;
  /** «» marks the characters that the finding must show. */
  readonly trips: string;
  readonly path: string;
  readonly message: string;
  readonly twin: string;
  /** A shop file beside it. */
  readonly shop?: string;
}

/** Without the ink that a case takes from its plate, so that nothing is said of that. */
const withoutEmberInk = (text: string) => text.replace(/^ {2}ember: \{ colour.*\n/m, "");

const also = (more: string) => `${SOUND}${more}\n`;
const GREY_SHOP = "shop: 1\ninks: { slate: { colour: lab(50 3 -3), opacity: 60% } }\n";

/** A third plate, which stands in the order. */
const three = (more: string) =>
  `${soundBut("setups:", "  rose: { ink: ember, extract: { hue: [0, 9] } }\nsetups:").replace("ember]", "ember, rose]")}${more}\n`;

const unprinted = (name: string) =>
  `"${name}" is in no setup's order, so it is never printed; add it to an order, fold it into another plate, or take it out`;

export const TRIPPING: readonly Tripping[] = [
  {
    rule: "unknown-name",
    name: "an ink, misspelt",
    trips: soundBut("ink: ember", "ink: «embr»"),
    path: "plates.ember.ink",
    message: 'There is no ink "embr"; did you mean "ember"?',
    twin: SOUND,
  },
  {
    rule: "unknown-name",
    name: "an ink that is in neither file",
    trips: `${soundBut("ink: ember", "ink: «teal»")}shop: b.shop.yaml\n`,
    path: "plates.ember.ink",
    message: 'There is no ink "teal"; inks are: white, ember, slate',
    twin: withoutEmberInk(`${soundBut("ink: ember", "ink: slate")}shop: b.shop.yaml\n`),
    shop: GREY_SHOP,
  },
  {
    rule: "unknown-name",
    name: "a plate in an order",
    trips: soundBut("[base, ember]", "[base, ember, «flush»]"),
    path: "setups.dark.order[2]",
    message: 'There is no plate "flush"; did you mean "flash"?',
    twin: soundBut("[base, ember]", "[base, flash, ember, cool-down]"),
  },
  {
    rule: "unknown-name",
    name: "a step of the press where a plate belongs",
    trips: also("traps:\n  - { plate: «flash», choke: 0.1 mm }"),
    path: "traps[0].plate",
    message: 'There is no plate "flash"; plates are: base, ember',
    twin: also("traps:\n  - { plate: base, choke: 0.1 mm }"),
  },
  {
    rule: "unknown-name",
    name: "a garment",
    trips: soundBut("[black]", "[black, «violet-tee»]"),
    path: "setups.dark.garments[1]",
    message: 'There is no garment "violet-tee"; garments are: black',
    twin: SOUND,
  },
  {
    rule: "unknown-name",
    name: "a garment to solve for, at its name",
    trips: also("solve: { garments: { black: 1, «violet-tee»: 2 } }"),
    path: "solve.garments.violet-tee",
    message: 'There is no garment "violet-tee"; garments are: black',
    twin: also("solve: { garments: { black: 1 } }"),
  },
  {
    rule: "unknown-name",
    name: "a plate to adjust",
    trips: also("adjust:\n  - { plate: «embers», curve: [[0, 0], [100, 100]] }"),
    path: "adjust[0].plate",
    message: 'There is no plate "embers"; did you mean "ember"?',
    twin: also("adjust:\n  - { plate: ember, curve: [[0, 0], [100, 100]] }"),
  },
  {
    rule: "unknown-name",
    name: "behind an alias: where the anchor writes it",
    trips: soundBut("ink: white", "ink: &i «teal»").replace(
      ", extract: { hue",
      ", extract: { lightness: [0, 9], hue",
    ),
    path: "plates.base.ink",
    message: 'There is no ink "teal"; inks are: white, ember',
    twin: withoutEmberInk(soundBut("ink: white", "ink: &i white").replace("ink: ember", "ink: *i")),
  },
  {
    rule: "name-clash",
    name: "two plates that differ in capitals",
    trips: soundBut(
      "  ember: { ink",
      "  Ember: { ink: ember, extract: { hue: [0, 9] } }\n  «ember»: { ink",
    ).replace("ember]", "ember, Ember]"),
    path: "plates.ember",
    message:
      '"ember" and "Ember" differ only in capitals, so their files would overwrite each other; rename one',
    twin: soundBut(
      "  ember: { ink",
      "  Ember2: { ink: ember, extract: { hue: [0, 9] } }\n  ember: { ink",
    ).replace("ember]", "ember, Ember2]"),
  },
  {
    rule: "name-clash",
    name: "a plate named as a device",
    trips: soundBut("  ember: { ink", "  «Aux»: { ink").replace("ember]", "Aux]"),
    path: "plates.Aux",
    message: '"Aux" cannot be a file name on Windows; give the plate another name',
    twin: soundBut("  ember: { ink", "  Auxiliary: { ink").replace("ember]", "Auxiliary]"),
  },
  {
    rule: "merge-cycle",
    name: "a plate folded into itself",
    trips: also("merges:\n  - { fold: ember, into: «ember» }").replace("[base, ember]", "[base]"),
    path: "merges[0].into",
    message: '"ember" is folded into itself; name another plate',
    twin: also("merges:\n  - { fold: ember, into: base }").replace("[base, ember]", "[base]"),
  },
  {
    rule: "merge-cycle",
    name: "a ring of three",
    trips: three(
      "merges:\n  - { fold: rose, into: «ember» }\n  - { fold: ember, into: base }\n  - { fold: base, into: rose }",
    ).replace("[base, ember, rose]", "[flash]"),
    path: "merges[0].into",
    message: "Plates are folded in a ring: rose → ember → base → rose; take one of these merges out",
    twin: three("merges:\n  - { fold: rose, into: ember }\n  - { fold: ember, into: base }").replace(
      "[base, ember, rose]",
      "[base]",
    ),
  },
  {
    rule: "folded-plate",
    name: "folded twice",
    trips: three("merges:\n  - { fold: rose, into: ember }\n  - { fold: «rose», into: base }").replace(
      "ember, rose]",
      "ember]",
    ),
    path: "merges[1].fold",
    message: '"rose" is already folded into "ember"; a plate goes into one other only',
    twin: three("merges:\n  - { fold: rose, into: ember }").replace("ember, rose]", "ember]"),
  },
  ...(
    [
      ["printed", "", "setups.dark.order[2]", "print"],
      ["knocked out of", "knockouts:\n  - { from: «rose», where: ember }", "knockouts[0].from", "name"],
      [
        "knocked out where it is",
        "knockouts:\n  - { from: ember, where: «rose» }",
        "knockouts[0].where",
        "name",
      ],
      ["trapped", "traps:\n  - { plate: «rose», choke: 0.1 mm }", "traps[0].plate", "trap"],
    ] as const
  ).map(
    ([name, use, path, place]): Tripping => ({
      rule: "folded-plate",
      name: `folded and ${name}`,
      trips: three(`merges:\n  - { fold: rose, into: base }\n${use}`).replace(
        "ember, rose]",
        use ? "ember]" : "ember, «rose»]",
      ),
      path,
      message: `"rose" is folded into "base" and has no screen of its own; ${place} "base", or take the merge out`,
      twin: three(use.replace("«", "").replace("»", "")),
    }),
  ),
  {
    rule: "unprinted-plate",
    name: "a plate in no order",
    trips: soundBut("  ember: { ink", "  «ember»: { ink").replace("[base, ember]", "[base]"),
    path: "plates.ember",
    message: unprinted("ember"),
    twin: also("merges:\n  - { fold: ember, into: base }").replace("[base, ember]", "[base]"),
  },
  {
    rule: "unprinted-plate",
    name: "a plate that only a knockout names",
    trips: also("knockouts:\n  - { from: base, where: ember }")
      .replace("  ember: { ink", "  «ember»: { ink")
      .replace("[base, ember]", "[base]"),
    path: "plates.ember",
    message: unprinted("ember"),
    twin: also("knockouts:\n  - { from: base, where: ember }"),
  },
  {
    rule: "unprinted-garment",
    name: "a garment in no setup",
    trips: soundBut("  black: {", '  «white»: { colour: "#fff" }\n  black: {'),
    path: "garments.white",
    message: 'No setup prints on "white"; add it to a setup\'s garments, or take it out',
    twin: soundBut("  black: {", '  white: { colour: "#fff" }\n  black: {').replace(
      "[black]",
      "[black, white]",
    ),
  },
  {
    rule: "repeated-entry",
    name: "a garment twice in one setup",
    trips: soundBut("[black]", "[black, «black»]"),
    path: "setups.dark.garments[1]",
    message: '"black" already stands at place 1 of this list',
    twin: also("  other: { garments: [black], order: [base] }"),
  },
  {
    rule: "repeated-entry",
    name: "a knockout twice",
    trips: also(
      "knockouts:\n  - { from: base, where: ember, choke: 0.1 mm }\n  - { from: ember, where: base }\n  - «{ from: base, where: ember }»",
    ),
    path: "knockouts[2]",
    message: "Knocking out base where ember already stands at place 1; keep one of the two",
    twin: also("knockouts:\n  - { from: base, where: ember }\n  - { from: ember, where: base }"),
  },
  {
    rule: "repeated-entry",
    name: "a trap twice",
    trips: also("traps:\n  - { plate: base, choke: 0.1 mm }\n  - { plate: «base», spread: 0.1 mm }"),
    path: "traps[1].plate",
    message: '"base" already has a trap at place 1; a plate is either choked or spread, once',
    twin: also("traps:\n  - { plate: base, choke: 0.1 mm }\n  - { plate: ember, spread: 0.1 mm }"),
  },
  {
    rule: "repeated-plate",
    name: "a plate at two stations",
    trips: soundBut("[base, ember]", "[base, flash, ember, flash, «base»]"),
    path: "setups.dark.order[4]",
    message: '"base" already prints at station 1; a second print needs a second screen of the same plate',
    twin: soundBut("[base, ember]", "[base, flash, ember, flash, cool-down, cool-down]"),
  },
  {
    rule: "self-knockout",
    name: "a plate knocked out of itself",
    trips: also("knockouts:\n  - { from: base, where: «base» }"),
    path: "knockouts[0].where",
    message: '"base" would be knocked out of itself; name the plate that prints in its place',
    twin: also("knockouts:\n  - { from: base, where: ember }"),
  },
  {
    rule: "rising-curve",
    name: "a curve that goes back",
    trips: also("adjust:\n  - { plate: ember, curve: [[0, 0], [50, 60], «[40, 80]», [100, 100]] }"),
    path: "adjust[0].curve[2]",
    message: "Tone in goes from 50 to 40; it must rise from pair to pair",
    twin: also("adjust:\n  - { plate: ember, curve: [[0, 100], [40, 60], [50, 60], [100, 0]] }"),
  },
  {
    rule: "rising-curve",
    name: "a curve that stands still",
    trips: also("adjust:\n  - { plate: ember, curve: [[0, 0], «[0, 100]»] }"),
    path: "adjust[0].curve[1]",
    message: "Tone in goes from 0 to 0; it must rise from pair to pair",
    twin: also("adjust:\n  - { plate: ember, curve: [[0, 0], [0.1, 100]] }"),
  },
  {
    rule: "rising-curve",
    name: "a curve of strength that goes back",
    trips: soundBut("ink: ember,", "ink: ember, strength: { lightness: [[0, 100], [60, 40], «[50, 0]»] },"),
    path: "plates.ember.strength.lightness[2]",
    message: "Lightness goes from 60 to 50; it must rise from pair to pair",
    twin: soundBut("ink: ember,", "ink: ember, strength: { lightness: [[0, 100], [50, 40], [60, 0]] },"),
  },
  ...(["lightness", "chroma", "opacity"] as const).map(
    (key): Tripping => ({
      rule: "rising-range",
      name: `${key} with its ends swapped`,
      trips: soundBut("hue: [350, 50]", `${key}: «[60, 20]»`),
      path: `plates.ember.extract.${key}`,
      message: `${sentence(key)} runs from 60 down to 20; write [20, 60]`,
      twin: soundBut("hue: [350, 50]", `${key}: [20, 20]`),
    }),
  ),
  {
    rule: "rising-range",
    name: "a swapped range deep inside",
    trips: soundBut(
      "{ hue: [350, 50] }",
      "{ all: [{ hue: [350, 50] }, { any: [{ except: { chroma: «[9, 0]» } }] }] }",
    ),
    path: "plates.ember.extract.all[1].any[0].except.chroma",
    message: "Chroma runs from 9 down to 0; write [0, 9]",
    twin: soundBut(
      "{ hue: [350, 50] }",
      "{ all: [{ hue: [350, 50] }, { any: [{ except: { chroma: [0, 9] } }] }] }",
    ),
  },
  {
    rule: "neutral-strength",
    name: "strength by chroma with a neutral ink",
    trips: soundBut("ink: white,", "ink: white, strength: «chroma»,"),
    path: "plates.base.strength",
    message:
      'Ink "white" is neutral (C*ab 2.0), so strength by chroma has no measure; use flat, lightness or darkness',
    twin: soundBut("ink: ember,", "ink: ember, strength: chroma,"),
  },
  {
    rule: "neutral-strength",
    name: "with a neutral ink from the ink library",
    trips: withoutEmberInk(
      `${soundBut("ink: ember,", "ink: slate, strength: «chroma»,")}shop: b.shop.yaml\n`,
    ),
    path: "plates.ember.strength",
    message:
      'Ink "slate" is neutral (C*ab 4.2), so strength by chroma has no measure; use flat, lightness or darkness',
    twin: withoutEmberInk(
      `${soundBut("ink: ember,", "ink: slate, strength: chroma,").replace("inks:\n", "inks:\n  slate: { colour: lab(50 4 -3), opacity: 60% }\n")}shop: b.shop.yaml\n`,
    ),
    shop: GREY_SHOP,
  },
  {
    rule: "unused-ink",
    name: "an ink that no plate prints",
    trips: soundBut("  white: {", "  «slate»: { colour: lab(50 0 0), opacity: 60% }\n  white: {"),
    path: "inks.slate",
    message: 'No plate prints ink "slate"; give it to a plate, or take it out',
    twin: SOUND,
  },
  {
    rule: "trap-distance",
    name: "a choke of centimetres",
    trips: also("traps:\n  - { plate: base, choke: «3 cm» }"),
    path: "traps[0].choke",
    message: "A choke of 3 cm is more than 5 mm; 0.1 to 0.5 mm is usual on textile presses",
    twin: also("traps:\n  - { plate: base, choke: 5 mm }"),
  },
  {
    rule: "trap-distance",
    name: "a spread of inches",
    trips: also("traps:\n  - { plate: base, spread: «0.2 in» }"),
    path: "traps[0].spread",
    message: "A spread of 0.2 in is more than 5 mm; 0.1 to 0.5 mm is usual on textile presses",
    twin: also("traps:\n  - { plate: base, spread: 0.19 in }"),
  },
  {
    rule: "trap-distance",
    name: "a knockout's choke",
    trips: also("knockouts:\n  - { from: base, where: ember, choke: «5.1 mm» }"),
    path: "knockouts[0].choke",
    message: "A choke of 5.1 mm is more than 5 mm; 0.1 to 0.5 mm is usual on textile presses",
    twin: also("knockouts:\n  - { from: base, where: ember, choke: 0.2 mm }"),
  },
  {
    rule: "print-width",
    name: "a print without width",
    trips: soundBut("width: 2 in", "width: «0 in»"),
    path: "artwork.width",
    message: "A print 0 in wide is narrower than 1 mm; write the printed width, such as 12 in",
    twin: soundBut("width: 2 in", "width: 1 mm"),
  },
  {
    rule: "solved-plate",
    name: "a solved plate that the first setup does not print",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: «jointly» } }")
      .replace("order: [base, ember] }", "order: [base] }")
      .concat("  light: { garments: [white], order: [ember] }\n")
      .replace("garments:\n", 'garments:\n  white: { colour: "#fff" }\n'),
    path: "plates.ember.extract.solve",
    message: 'Plates are solved for "black", and setup "dark" does not print "ember"; put it into that order',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: jointly } }"),
  },
  {
    rule: "solved-plate",
    name: "a solved plate that does not print on the garment asked for",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: «jointly» } }")
      .concat("  light: { garments: [white], order: [base] }\nsolve: { garment: white }\n")
      .replace("garments:\n", 'garments:\n  white: { colour: "#fff" }\n'),
    path: "plates.ember.extract.solve",
    message:
      'Plates are solved for "white", and setup "light" does not print "ember"; put it into that order',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: jointly } }")
      .concat("  light: { garments: [white], order: [base] }\nsolve: { garment: black }\n")
      .replace("garments:\n", 'garments:\n  white: { colour: "#fff" }\n'),
  },
  {
    rule: "solved-plate",
    name: "a solved plate that prints on none of the garments asked for",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: «jointly» } }")
      .replace("order: [base, ember] }", "order: [base] }")
      .concat("  light: { garments: [white], order: [base] }\n")
      .concat("  other: { garments: [grey], order: [ember] }\n")
      .concat("solve: { garments: { white: 1, black: 2 } }\n")
      .replace("garments:\n", 'garments:\n  white: { colour: "#fff" }\n  grey: { colour: "#888" }\n'),
    path: "plates.ember.extract.solve",
    message:
      'Plates are solved for "white" and "black", and none of their setups prints "ember"; put it into one\'s order',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: jointly } }")
      .concat("  light: { garments: [white], order: [base] }\nsolve: { garments: { white: 1, black: 2 } }\n")
      .replace("garments:\n", 'garments:\n  white: { colour: "#fff" }\n'),
  },
  {
    rule: "solved-plate",
    name: "one garment and several to solve for",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: jointly } }").concat(
      "solve: { «garment»: black, garments: { black: 1 } }\n",
    ),
    path: "solve.garment",
    message: "Garments says what plates are solved for; take garment out",
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: jointly } }").concat(
      "solve: { garments: { black: 1 } }\n",
    ),
  },
  {
    rule: "solved-plate",
    name: "a solved plate that rides on another",
    trips: `${soundBut("extract: { hue: [350, 50] } }", "extract: { solve: «jointly» } }").replace(", ember] }", "] }")}merges:\n  - { fold: ember, into: base }\n`,
    path: "plates.ember.extract.solve",
    message:
      '"ember" is folded into another plate and prints with its ink; solve that plate, or take the merge out',
    twin: `${soundBut("extract: { artwork: opaque } }", "extract: { solve: jointly } }").replace(", ember] }", "] }")}merges:\n  - { fold: ember, into: base }\n`,
  },
  {
    rule: "solved-plate",
    name: "a part of the artwork that is to be solved",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { any: [{ solve: «jointly» }] } }"),
    path: "plates.ember.extract.any[0].solve",
    message: "Solve stands directly under extract; what is combined here says where the plate may print",
    twin: soundBut(
      "extract: { hue: [350, 50] } }",
      "extract: { solve: jointly, any: [{ hue: [350, 50] }] } }",
    ),
  },
  {
    rule: "solved-strength",
    name: "the strength of a solved plate",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { solve: jointly }, «strength»: chroma }"),
    path: "plates.ember.strength",
    message: '"ember" is solved, so its strength changes nothing; take it out',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { hue: [350, 50] }, strength: match }"),
  },
  {
    rule: "plate-from-file",
    name: "a range beside a file",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png, «hue»: [350, 50] } }"),
    path: "plates.ember.extract.hue",
    message: '"ember" comes from a file as it is, so hue has nothing to choose from; take it out',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png, solid: white } }"),
  },
  {
    rule: "plate-from-file",
    name: "two ways to say which ink",
    trips: soundBut(
      "extract: { hue: [350, 50] } }",
      "extract: { plate: art.png, colorant: Ember, «channel»: 2 } }",
    ),
    path: "plates.ember.extract.channel",
    message: 'Colorant and channel both say which ink of the file "ember" is; keep one of them',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png, channel: 2 } }"),
  },
  {
    rule: "plate-from-file",
    name: "the strength of a plate from a file",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png }, «strength»: chroma }"),
    path: "plates.ember.strength",
    message: '"ember" comes from a file with its tones, so its strength changes nothing; take it out',
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png } }"),
  },
  {
    rule: "plate-from-file",
    name: "a file as one of several ranges",
    trips: soundBut("extract: { hue: [350, 50] } }", "extract: { any: [{ plate: «art.png» }] } }"),
    path: "plates.ember.extract.any[0].plate",
    message: "Plate stands directly under extract: a file's plate is taken whole, and is no range",
    twin: soundBut("extract: { hue: [350, 50] } }", "extract: { any: [{ hue: [350, 50] }] } }"),
  },
  {
    rule: "artwork-of-plates",
    name: "ranges without an artwork",
    trips: soundBut("artwork: { file: art.png, width", "artwork: { made-of: plates, width")
      .replace("extract: { artwork: opaque }", "extract: { plate: art.png }")
      .replace("extract: { hue", "«extract»: { hue"),
    path: "plates.ember.extract",
    message:
      'The artwork is made of plates, so "ember" has no picture to be taken from; name its plate, or the artwork\'s file',
    twin: soundBut("artwork: { file: art.png, width", "artwork: { made-of: plates, width")
      .replace("extract: { artwork: opaque }", "extract: { plate: art.png }")
      .replace("extract: { hue: [350, 50] }", "extract: { plate: art.png }"),
  },
  {
    rule: "film-as-it-is",
    name: "a curve on a film",
    trips: `${soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png, screened: true } }")}adjust:\n  - { plate: «ember», curve: [[0, 0], [100, 90]] }\n`,
    path: "adjust[0].plate",
    message:
      '"ember" is a film with dots of its own, which a curve does not change; take the entry out, or ask for the plate unscreened',
    twin: `${soundBut("extract: { hue: [350, 50] } }", "extract: { plate: art.png } }")}adjust:\n  - { plate: ember, curve: [[0, 0], [100, 90]] }\n`,
  },
];
