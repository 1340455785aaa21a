import type { DotScreen } from "../../engine/press/dot-waves.ts";
import { coarsestMoire, isFaint, isVisible, strongestBeat } from "../../engine/press/moire.ts";
import { sameLattice } from "../../engine/print/dot-lattices.ts";
import type { Plate, Recipe } from "../../language/recipe.ts";
import { platesIn } from "../job.ts";
import { dotScreenOf } from "./screened.ts";

/** Angles and rulings at which plates beat with nothing. */

/**
 * Turns that the trade uses: the first is as far as dots of four corners come, and the mesh's own mirror image, so that
 * it beats with the threads no more than the usual angle. Common practice, no source.
 */
export const TURNS = [45, 30, 60, 15] as const;

/** Angles tried from the present one outwards, in degrees. */
const STEP = 2.5;
const FURTHEST = 45;

/** Whether some plates, with their screens changed, beat visibly neither with their meshes nor with other plates. */
export function isQuiet(recipe: Recipe, names: readonly string[], change: Partial<DotScreen>): boolean {
  return !beatWithMeshes(recipe, names, change) && !beatWithPlates(recipe, names, change);
}

function beatWithMeshes(recipe: Recipe, names: readonly string[], change: Partial<DotScreen>): boolean {
  return changed(recipe, names, change).some(([plate, screen]) => {
    const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
    return mesh !== undefined && isVisible(coarsestMoire(mesh.count, screen), screen.rulingLpi);
  });
}

function beatWithPlates(recipe: Recipe, names: readonly string[], change: Partial<DotScreen>): boolean {
  return changed(recipe, names, change).some(([plate, screen]) =>
    othersOf(recipe, names, plate).some(
      (other) => !isFaint(strongestBeat(screen, other, recipe.artwork.widthMm)),
    ),
  );
}

function changed(recipe: Recipe, names: readonly string[], change: Partial<DotScreen>): [Plate, DotScreen][] {
  return names.flatMap((name): [Plate, DotScreen][] => {
    const plate = recipe.plates.get(name)!;
    const screen = dotScreenOf(plate);
    return screen ? [[plate, { ...screen, ...change }]] : [];
  });
}

/** The nearest angle at which plates that turn together are quiet; undefined where there is none. */
export function quietTurn(recipe: Recipe, names: readonly string[], angle: number): number | undefined {
  for (let turn = STEP; turn <= FURTHEST; turn += STEP) {
    const good = [angle + turn, angle - turn].find((at) => isQuiet(recipe, names, { angle: at }));
    if (good !== undefined) return good;
  }
  return undefined;
}

/**
 * An angle for a plate at which its dots nest and beat with none of the plates that print with it, nor beat with its
 * mesh, unless they do so already.
 */
export function otherAngle(recipe: Recipe, name: string): number | undefined {
  const plate = recipe.plates.get(name)!;
  const screen = dotScreenOf(plate);
  if (!screen) return undefined;
  const others = othersOf(recipe, [name], plate);
  const apart = TURNS.map((turn) =>
    screen.angle + turn > 90 ? screen.angle + turn - 90 : screen.angle + turn,
  ).filter((angle) => {
    const turned = { method: "am", ...screen, angle } as const;
    return !others.some((other) => sameLattice(turned, { method: "am", ...other }));
  });
  const meshMatters = !beatWithMeshes(recipe, [name], {});
  return apart.find(
    (angle) =>
      !beatWithPlates(recipe, [name], { angle }) &&
      !(meshMatters && beatWithMeshes(recipe, [name], { angle })),
  );
}

/** Screens of the plates that print with one, but for some that are changed with it; each once. */
function othersOf(recipe: Recipe, names: readonly string[], plate: Plate): DotScreen[] {
  const screens = new Map<string, DotScreen>();
  for (const setup of recipe.setups.values()) {
    const plates = platesIn(recipe, setup).map(([, other]) => other);
    if (!plates.includes(plate)) continue;
    for (const other of plates) {
      const screen = dotScreenOf(other);
      if (screen && !names.includes(other.name)) screens.set(JSON.stringify(screen), screen);
    }
  }
  return [...screens.values()];
}
