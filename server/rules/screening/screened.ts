import type { DotScreen } from "../../engine/press/dot-waves.ts";
import type { Path } from "../../language/finding.ts";
import type { Mesh, Plate, Recipe } from "../../language/recipe.ts";
import { printedPlates } from "../job.ts";

/** A mesh and a dot screen that meet on some plates. */
export interface Screened {
  readonly meshName: string;
  readonly mesh: Mesh;
  readonly screen: DotScreen;
  /** In the recipe's order. */
  readonly plates: readonly Plate[];
  /** Where the recipe has it: the mesh or the screening of the first of the plates, or that plate. */
  readonly path: Path;
}

/**
 * Every pair of mesh and dot screen that the job prints with; plates of grains, films, and those whose mesh is not
 * known are left out.
 */
export function screened(recipe: Recipe): Screened[] {
  const pairs = new Map<string, Screened & { readonly plates: Plate[] }>();
  for (const plate of printedPlates(recipe)) {
    const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
    if (plate.mesh === undefined || !mesh) continue;
    const screen = dotScreenOf(plate);
    if (!screen) continue;
    const { rulingLpi, angle, dot } = screen;
    const key = `${plate.mesh} ${rulingLpi} ${angle} ${dot}`;
    const known = pairs.get(key);
    if (known) known.plates.push(plate);
    else {
      const path = ["plates", plate.name];
      pairs.set(key, { meshName: plate.mesh, mesh, screen, plates: [plate], path });
    }
  }
  return [...pairs.values()];
}

/** How a plate's dots stand; undefined where it has grains or squares, or comes as a film. */
export function dotScreenOf({ screening, given }: Plate): DotScreen | undefined {
  const { method, rulingLpi, angle, dot } = screening;
  return method === "am" && !given?.screened ? { rulingLpi, angle, dot } : undefined;
}

/** `base`, or `base and 3 more`. */
export function platesText(plates: readonly Plate[]): string {
  const [first] = plates;
  return plates.length < 2 ? (first?.name ?? "") : `${first!.name} and ${plates.length - 1} more`;
}
