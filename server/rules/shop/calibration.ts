import type { Plate, Recipe } from "../../language/recipe.ts";
import { screenName } from "../../language/screen-name.ts";
import { inkOf, printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

const DAY_MS = 24 * 60 * 60 * 1000;

/** Halftones whose dot gain nobody has measured print darker than they are shown. */
export const gainNotMeasured: JobRule = {
  id: "gain-not-measured",
  looksAt: "job",
  level: "note",
  why: "Halftones print darker than their film; without a measured dot gain neither films nor proofs allow for it.",
  source: "ISO 12647-1, tone value increase; common practice, no source for whom to tell.",
  example: {
    fails: yaml`
      meshes: { colour: { count: 225/in } }
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] }, strength: chroma, mesh: colour }
      setups:
        light: { garments: [white], order: [ember] }
      garments: { white: { colour: "#ffffff" } }
    `,
    passes: yaml`
      meshes: { colour: { count: 225/in } }
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] }, strength: chroma, mesh: colour }
      setups:
        light: { garments: [white], order: [ember] }
      garments: { white: { colour: "#ffffff" } }
      screening: { gain: [[0, 0], [50, 64], [100, 100]] }
    `,
  },
  *check(recipe) {
    // One line a job: its first tonal plate on a known mesh.
    const open = printedPlates(recipe).filter(
      (plate) => isTonal(plate) && plate.mesh !== undefined && !gainOf(recipe, plate),
    );
    const [first] = open;
    if (!first) return;
    const more = open.length > 1 ? ` and ${open.length - 1} more` : "";
    yield {
      path: ["plates", first.name],
      part: "key",
      message: `dot gain of ${first.name}${more} at ${screenName(first.screening)} was never measured, so films and proofs do not allow for it; print a target sheet and calibrate`,
    };
  },
};

const ON_BASE = yaml`
  meshes: { base: { count: 122/in }, colour: { count: 225/in } }
  inks:
    ember: { colour: "#d8431f", opacity: 70%, measured: { date: 2026-03-14, from: r.txt, mesh: base } }
  plates:
    ember: { ink: ember, extract: { hue: [350, 50] }, mesh: colour }
  setups:
    light: { garments: [white], order: [ember] }
  garments: { white: { colour: "#ffffff" } }
`;

/** Figures belong to the mesh and screen that they were measured on. */
export const measuredElsewhere: JobRule = {
  id: "measured-elsewhere",
  looksAt: "job",
  level: "warning",
  why: "Another mesh lays down a thicker or thinner ink film, and another ruling has another dot gain: the measured figures no longer apply.",
  source: "Follows from the meshes' ink volume; ISO 12647-1 gives tone value increase for a ruling.",
  example: { fails: ON_BASE, passes: ON_BASE.replace("mesh: base }", "mesh: colour }") },
  *check(recipe) {
    for (const plate of printedPlates(recipe)) {
      const { measured, gain } = inkOf(recipe, plate);
      if (!measured) continue;
      const { mesh, screen } = measured;
      const own = screenName(plate.screening);
      const path = ["plates", plate.name];
      if (mesh !== undefined && plate.mesh !== undefined && mesh !== plate.mesh)
        yield {
          path,
          part: "key",
          message: `${plate.ink} was measured on mesh ${mesh}, and ${plate.name} prints it on ${plate.mesh}; calibrate it there, as an ink of its own`,
        };
      else if (screen !== undefined && gain && isTonal(plate) && screen !== own)
        yield {
          path,
          part: "key",
          message: `the gain of ${plate.ink} was measured at ${screen}, and ${plate.name} is screened at ${own}; calibrate it there`,
        };
    }
  },
};

/** Presses, meshes and inks drift. */
export const calibrationAge: JobRule = {
  id: "calibration-age",
  looksAt: "job",
  level: "warning",
  why: "Squeegees wear, meshes slacken, inks come in other lots: old figures are those of another press.",
  source: "The shop's own figure, calibration-days.",
  example: {
    fails: yaml`
      calibration-days: 180
      inks:
        ember: { colour: "#d8431f", opacity: 70%, measured: { date: 2025-03-14, from: r.txt } }
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] } }
      setups:
        light: { garments: [white], order: [ember] }
      garments: { white: { colour: "#ffffff" } }
    `,
    passes: yaml`
      calibration-days: 180
      # a month ago
      inks:
        ember: { colour: "#d8431f", opacity: 70%, measured: { date: 2026-03-14, from: r.txt } }
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] } }
      setups:
        light: { garments: [white], order: [ember] }
      garments: { white: { colour: "#ffffff" } }
    `,
  },
  *check(recipe, today) {
    const most = recipe.calibrationDays;
    if (most === undefined || today === undefined) return;
    const told = new Set<string>();
    for (const plate of printedPlates(recipe)) {
      const { measured } = inkOf(recipe, plate);
      if (!measured || told.has(plate.ink)) continue;
      const days = Math.round((Date.parse(today) - Date.parse(measured.date)) / DAY_MS);
      if (days <= most) continue;
      told.add(plate.ink);
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `${plate.ink} was measured ${days} days ago (${measured.date}), and the shop allows ${most}; print a target sheet and calibrate`,
      };
    }
  },
};

/** Whether a plate is made to print halftones, not only their edges. */
function isTonal({ strength, extract }: Plate): boolean {
  return strength !== "flat" || extract.solve !== undefined;
}

function gainOf(recipe: Recipe, plate: Plate) {
  return inkOf(recipe, plate).gain ?? plate.screening.gain;
}
