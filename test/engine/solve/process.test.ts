import { expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { solveKey, solveTones } from "../../../server/engine/solve/solved-tones.ts";
import { parseDocument } from "../../../server/language/document.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { separationPlan } from "../../../server/render/plan/separation-plan.ts";

const recipe = (black: string) => `recipe: 1
artwork: { file: a.png, width: 4 in }
garments: { white: { colour: "#f4f3ef" } }
inks:
  cyan: { colour: lab(58 -38 -48), opacity: 4% }
  magenta: { colour: lab(52 72 -3), opacity: 4% }
  yellow: { colour: lab(92 -5 92), opacity: 4% }
  black: { colour: lab(12 0 0), opacity: 90% }
plates:
  cyan: { ink: cyan, extract: { solve: jointly } }
  magenta: { ink: magenta, extract: { solve: jointly }, screening: { angle: 15 } }
  yellow: { ink: yellow, extract: { solve: jointly } }
  black: { ink: black, purpose: shadow, extract: { solve: jointly } }
process: { cyan: cyan, magenta: magenta, yellow: yellow, black: black${black} }
solve: { halftone-price: 0, wet-ink: 260% }
setups:
  light: { garments: [white], order: [black, magenta, cyan, yellow] }
`;
const resolved = (black = "") => resolveRecipe(parseDocument("a.sep.yaml", recipe(black)));

it("gives process plates without an angle of their own angles 22.5° apart", () => {
  const angles = [...resolved().plates.values()].map(({ screening }) => screening.angle);
  expect(angles).toEqual([27.5, 15, 5, 50]);
  const spot = recipe("").replace("process:", "  spot: { ink: cyan, extract: { solve: jointly } }\nprocess:");
  const angleOf = (text: string) =>
    resolveRecipe(parseDocument("a.sep.yaml", text)).plates.get("spot")!.screening.angle;
  expect(angleOf(spot)).toBe(5);
  expect(angleOf(`${spot}screening: { angle: 50 }\n`)).toBe(50);
});

it("solves anew where black is generated otherwise", () => {
  const [first, other] = ["", ", black-generation: [[0, 0], [100, 80]]"].map((black) =>
    solveKey(separationPlan(resolved(black))),
  );
  expect(first).not.toBe(other);
});

it("gives black the tone that its curve says, and the colour stays", () => {
  // Nothing up to 40 % of grey, 60 % of black at most but where the ink limit leaves the others too little.
  const plan = separationPlan(resolved(", black-generation: [[0, 0], [40, 0], [60, 30], [100, 60]]"));
  const solving = solveTones(plan);
  const shares: number[] = [];
  let step = solving.next();
  for (; !step.done; step = solving.next()) shares.push(step.value);
  // Half of it without black, half with all four.
  expect(shares).toEqual(shares.toSorted((p, q) => p - q));
  expect(shares[0]).toBeCloseTo(0.3 / 2, 9);
  expect(shares[shares.length / 2 - 1]).toBeCloseTo(1 / 2, 9);
  expect(shares.at(-1)).toBeCloseTo(1, 9);
  const nodes = 17 ** 3 + 33 ** 3 + 65 ** 3;
  // Tones and a ΔE00 a node for three plates and for four; a flag each, and one a tetrahedron.
  expect(step.value.bytes).toBe(nodes * 4 * (4 + 5) + 2 * (nodes + 6 * 64 ** 3));
  const tones = new Float64Array(4);
  const { conditions, stations } = plan.solving!;
  const print = preparePrint(conditions, stations);
  const at = (v: number) => {
    step.value!.write(v, v, v, 255, tones);
    const byPlate = new Map(plan.plates.map(({ name }, p) => [name, tones[p]!]));
    const printed = labFromLinear(print.colour(stations.map(({ plate }) => byPlate.get(plate)!)));
    const art = labFromBytes(v, v, v);
    const off = deltaE00(art.L, art.a, art.b, printed.L, printed.a, printed.b);
    return { black: tones[3]!, ink: tones.reduce((sum, t) => sum + t, 0), off };
  };
  for (const v of [235, 215, 200]) expect(at(v).black).toBeLessThan(0.02);
  const [middle, dark] = [at(90), at(60)];
  expect(middle.black).toBeGreaterThan(0.2);
  expect(dark.black).toBeGreaterThan(middle.black);
  for (const { off, ink } of [at(215), at(160), middle, dark]) {
    expect(off).toBeLessThan(1.5);
    expect(ink).toBeLessThan(2.65);
  }
});
