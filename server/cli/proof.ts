import { basename, dirname } from "node:path";
import packageInfo from "../../package.json" with { type: "json" };
import type { Artwork } from "../artwork/artwork.ts";
import type { Tones } from "../engine/raster.ts";
import { proofPng } from "../jobs/proof.ts";
import { printable } from "../language/printable.ts";
import type { Recipe, Setup } from "../language/recipe.ts";
import { suggestion } from "../language/suggest.ts";
import { compositePdf } from "../output/composite-pdf.ts";
import type { OnProgress } from "../render/progress.ts";
import { makePlates } from "../render/separation.ts";
import { type Command, onlyPath, optionalNumber, requiredText, UsageError, type Values } from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { LEAST_PPI, MOST_PPI, pixelLine, writing } from "./written.ts";

/** Share of the work that goes into the plates; the rest prints and compares. */
const PLATES_SHARE = 0.6;

export const proof: Command = {
  name: "proof",
  usage: "RECIPE --garment ID --out FILE.png|FILE.pdf [--setup ID] [--after N] [--ppi N] [--force]",
  does: "show what a garment will look like, after station N if given, and its ΔE00 against the artwork; as PDF its plates as spot colours on the garment",
  options: {
    garment: { type: "string" },
    setup: { type: "string" },
    after: { type: "string" },
    out: { type: "string" },
    ppi: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, files) {
    const file = onlyPath(positionals, "recipe");
    const garment = requiredText(values, "garment");
    const out = requiredText(values, "out");
    if (!/\.(?:png|pdf)$/i.test(out))
      throw new UsageError(`--out takes the name of a PNG or PDF file, not "${out}"`);
    const ppi = optionalNumber(values, "ppi", LEAST_PPI, MOST_PPI);
    const opened = await openRecipe(file, console, files);
    if (typeof opened === "number") return opened;
    const { recipe } = opened;
    const [setupName, setup] = chooseSetup(recipe, garment, values);
    const after = chooseStation(setupName, setup, values);

    const target = { folder: dirname(out), names: [basename(out)], ppi };
    await writing(opened, target, values, console, async ({ artwork, staging, progress }) => {
      if (/\.pdf$/i.test(out)) {
        const order = setup.order.slice(0, after);
        const pdf = await composite(recipe, artwork, garment, order, progress.part("plates", 0, 1));
        await staging.write(basename(out), pdf);
        await staging.commit();
        return `${garment} (setup ${setupName}): ${pixelLine(artwork)}, its plates as spot colours\n  ${printable(out)}\n`;
      }
      const view = { garment, setup: setupName, stations: after, without: [] };
      const { png, difference } = await proofPng(recipe, artwork, view, {
        plates: progress.part("plates", 0, PLATES_SHARE),
        proof: progress.part("proof", PLATES_SHARE, 1),
      });
      await staging.write(basename(out), png);
      await staging.commit();
      const stations = after === undefined ? "" : ` after station ${after} of ${setup.order.length}`;
      const { mean, p95, windowMm } = difference;
      const windows =
        windowMm === undefined ? "" : ` (means of windows of ${windowMm.toFixed(1)} mm, since squares mix)`;
      return (
        `${garment} (setup ${setupName})${stations}: mean ΔE00 ${mean.toFixed(2)}, ` +
        `95th percentile ${p95.toFixed(2)}${windows}; ${pixelLine(artwork)}\n  ${printable(out)}\n`
      );
    });
    return 0;
  },
};

/** The plates of some stations as spot colours on the garment's colour. */
async function composite(
  recipe: Recipe,
  artwork: Artwork,
  garment: string,
  order: Setup["order"],
  onProgress: OnProgress,
): Promise<Uint8Array> {
  const tones = new Map<string, Tones>();
  for await (const plate of makePlates(recipe, artwork, onProgress)) tones.set(plate.name, plate.tones);
  const printed = [...new Set(order.flatMap((step) => (typeof step === "string" ? [] : [step.plate])))];
  const { width, height } = artwork.picture;
  return compositePdf({
    title: [recipe.title, garment].filter(Boolean).join(", "),
    producer: `Platewright ${packageInfo.version}`,
    widthMm: recipe.artwork.widthMm,
    heightMm: artwork.info.heightMm,
    width,
    height,
    garment: { name: garment, colour: recipe.garments.get(garment)!.colour.lab },
    plates: printed.map((name) => {
      const { ink } = recipe.plates.get(name)!;
      return {
        name,
        ink: recipe.inks.get(ink)!.colour.lab,
        tones: tones.get(name)!,
      };
    }),
  });
}

function chooseSetup(recipe: Recipe, garment: string, values: Values): [name: string, setup: Setup] {
  if (!recipe.garments.has(garment)) {
    const known = suggestion(garment, [...recipe.garments.keys()], "garments are");
    throw new UsageError(`there is no garment "${garment}"${known}`);
  }
  const fitting = [...recipe.setups].filter(([, { garments }]) => garments.includes(garment));
  const names = fitting.map(([name]) => name);
  const wanted = values.setup;
  if (typeof wanted === "string") {
    const chosen = fitting.find(([name]) => name === wanted);
    if (!chosen)
      throw new UsageError(
        `no setup "${wanted}" prints on "${garment}"; these do: ${names.join(", ") || "none"}`,
      );
    return chosen;
  }
  const [first, second] = fitting;
  if (!first) throw new UsageError(`no setup prints on "${garment}"; add it to a setup's garments`);
  if (second)
    throw new UsageError(`"${garment}" is in several setups; choose one with --setup: ${names.join(", ")}`);
  return first;
}

function chooseStation(name: string, { order }: Setup, values: Values): number | undefined {
  const after = optionalNumber(values, "after", 0, order.length);
  if (after !== undefined && !Number.isInteger(after)) {
    throw new UsageError(`--after takes a whole number; setup "${name}" has ${order.length} stations`);
  }
  return after;
}
