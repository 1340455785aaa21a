import type { Path } from "../../language/finding.ts";
import { blocksOf, fieldsOf, listOf } from "../../language/partial-data.ts";
import type { Mark, RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Keys of an extraction that say which plate of a file is meant. */
const OF_FILES = ["plate", "colorant", "channel", "page", "solid", "screened"];

/** A plate from a file is whole: ranges would be of the artwork, which it was not made from here. */
export const plateFromFile: RecipeRule = {
  id: "plate-from-file",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A plate from a file is taken as it is; other settings beside it would be ignored.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { plate: ember.tif, lightness: [0, 60] } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { plate: ember.tif } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
  },
  *check({ doc }) {
    for (const [name, { extract, strength }] of blocksOf(doc.value, "plates")) {
      const path = ["plates", name, "extract"];
      yield* misplaced(extract, path);
      const fields = fieldsOf(extract);
      if (fields.plate === undefined) continue;
      for (const key of Object.keys(fields)) {
        if (OF_FILES.includes(key)) continue;
        yield {
          path: [...path, key],
          part: "key",
          message: `"${name}" comes from a file as it is, so ${key} has nothing to choose from; take it out`,
          data: { redundant: [...path, key] },
        };
      }
      if (fields.colorant !== undefined && fields.channel !== undefined)
        yield {
          path: [...path, "channel"],
          part: "key",
          message: `colorant and channel both say which ink of the file "${name}" is; keep one of them`,
          data: { redundant: [...path, "channel"] },
        };
      if (strength !== undefined)
        yield {
          path: ["plates", name, "strength"],
          part: "key",
          message: `"${name}" comes from a file with its tones, so its strength changes nothing; take it out`,
          data: { redundant: ["plates", name, "strength"] },
        };
    }
  },
};

/** Without a picture of its own a job's artwork is what its plates print; then all of them must be there. */
export const artworkOfPlates: RecipeRule = {
  id: "artwork-of-plates",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "Without artwork there are no colours that a range could select.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      artwork: { made-of: plates, width: 10 in }
      plates:
        base: { ink: white, purpose: underbase, extract: { plate: base.tif } }
        ember: { ink: ember, extract: { hue: [350, 50] } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      artwork: { made-of: plates, width: 10 in }
      plates:
        base: { ink: white, purpose: underbase, extract: { plate: base.tif } }
        ember: { ink: ember, extract: { plate: ember.tif } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
  },
  *check({ doc }) {
    if (fieldsOf(fieldsOf(doc.value).artwork)["made-of"] === undefined) return;
    for (const [name, { extract }] of blocksOf(doc.value, "plates")) {
      if (fieldsOf(extract).plate !== undefined) continue;
      yield {
        path: ["plates", name, "extract"],
        part: "key",
        message: `the artwork is made of plates, so "${name}" has no picture to be taken from; name its plate, or the artwork's file`,
      };
    }
  },
};

/** A film's dots go onto film bit for bit, so no stage can change them. */
export const filmAsItIs: RecipeRule = {
  id: "film-as-it-is",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A plate that is already screened goes onto film dot for dot: a change of its tones would show in the proof and not in print.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { plate: ember.tif, screened: true } }
      knockouts: [{ from: ember, where: base }]
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { plate: ember.tif, screened: true } }
      knockouts: [{ from: base, where: ember, choke: 0.4 mm }]
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
  },
  *check({ doc }) {
    const films = new Set<unknown>();
    for (const [name, { extract }] of blocksOf(doc.value, "plates"))
      if (fieldsOf(extract).screened === true) films.add(name);
    if (films.size === 0) return;
    for (const [list, key, what] of CHANGING) {
      for (const [i, entry] of listOf(doc.value, list)) {
        if (!films.has(entry[key])) continue;
        yield {
          path: [list, i, key],
          message: `"${entry[key]}" is a film with dots of its own, which ${what} does not change; take the entry out, or ask for the plate unscreened`,
          data: { redundant: [list, i] },
        };
      }
    }
  },
};

const CHANGING = [
  ["adjust", "plate", "a curve"],
  ["merges", "fold", "folding"],
  ["merges", "into", "folding"],
  ["knockouts", "from", "a knockout"],
  ["traps", "plate", "a trap"],
] as const;

/** `plate` inside of what combines extractions. */
function* misplaced(extraction: unknown, path: Path): Iterable<Mark> {
  const fields = fieldsOf(extraction);
  const parts: [Path, unknown][] = ["all", "any"].flatMap((key) =>
    listOf(fields, key).map(([i, part]): [Path, unknown] => [[...path, key, i], part]),
  );
  if (fields.except !== undefined) parts.push([[...path, "except"], fields.except]);
  for (const [at, part] of parts) {
    if (fieldsOf(part).plate !== undefined)
      yield {
        path: [...at, "plate"],
        message: "plate stands directly under extract: a file's plate is taken whole, and is no range",
      };
    yield* misplaced(part, at);
  }
}
