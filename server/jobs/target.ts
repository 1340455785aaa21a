import type { SheetScreen } from "../engine/target/sheet.ts";
import type * as Formats from "../language/generated/formats.ts";
import type { Screening } from "../language/recipe.ts";
import { shopPress, shopScreening } from "../language/resolve-shop.ts";
import { screenName } from "../language/screen-name.ts";
import { filmScreening } from "../render/film-curve.ts";

/** Rulings beside the shop's own, as shares of it, on whole fives of lpi. Common practice, no source. */
const RULINGS = [0.8, 1.25] as const;

/** The screens of a shop's target sheet: its own first, a coarser and a finer ruling, and grains. */
export function targetScreens(shop: Formats.Shop): SheetScreen[] {
  const own = shopScreening(shop);
  const ruled = (rulingLpi: number) => screenOf({ ...own, method: "am", rulingLpi });
  const others = RULINGS.map((share) => Math.max(5, 5 * Math.round((own.rulingLpi * share) / 5)));
  const grains = screenOf({ ...own, method: own.method === "diffusion" ? "diffusion" : "fm" });
  const am = [own.rulingLpi, ...others.filter((lpi) => lpi !== own.rulingLpi)].map(ruled);
  return own.method === "am" ? [...am, grains] : [grains, ...am];
}

/** The mesh that an ink is usually printed through, by name; undefined where the shop does not say. */
export function usualMesh(shop: Formats.Shop, isBase: boolean): string | undefined {
  return shop["usual-mesh"]?.[isBase ? "underbase" : "colour"];
}

/** Why a sheet of this size in mm cannot be printed by the shop; undefined where it can. */
export function tooLarge(shop: Formats.Shop, width: number, height: number): string | undefined {
  const press = shopPress(shop);
  for (const [what, size] of [
    ["the press prints", press?.areaMm],
    ["a screen holds", press?.screenMm],
  ] as const) {
    if (
      !size ||
      (Math.min(size.width, size.height) >= Math.min(width, height) &&
        Math.max(size.width, size.height) >= Math.max(width, height))
    )
      continue;
    return `the sheet is ${width.toFixed(0)} × ${height.toFixed(0)} mm, ${what} ${size.width.toFixed(0)} × ${size.height.toFixed(0)} mm; name fewer inks with --ink`;
  }
  return undefined;
}

function screenOf(screening: Omit<Screening, "gain">): SheetScreen {
  return { name: screenName(screening), screening: filmScreening({ ...screening, gain: undefined }) };
}
