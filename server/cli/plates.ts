import { basename, join } from "node:path";
import { digestOf, digestOfFile } from "../output/ledger.ts";
import { MANIFEST_NAME, type Manifest, plateFileName, writePlates } from "../output/plate-files.ts";
import { Staging } from "../output/staging.ts";
import { loadArtwork, makePlates } from "../render/separation.ts";
import { LEAST_PPI, MOST_PPI, pixelLine } from "./artwork-line.ts";
import { type Command, onlyPath, optionalNumber, requiredText } from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { startProgress } from "./progress.ts";

export const plates: Command = {
  name: "plates",
  usage: "RECIPE --out DIR [--ppi N] [--force]",
  does: "write every plate as an 8-bit grey PNG (black = full ink) and a manifest",
  options: {
    out: { type: "string" },
    ppi: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console) {
    const file = onlyPath(positionals, "recipe");
    const folder = requiredText(values, "out");
    const ppi = optionalNumber(values, "ppi", LEAST_PPI, MOST_PPI);
    const opened = await openRecipe(file, console);
    if (!opened) return 1;
    const { document, recipe, artworkFile } = opened;

    const folded = new Set(recipe.merges.map(({ fold }) => fold));
    const names = [...recipe.plates.keys()].filter((name) => !folded.has(name));
    const progress = startProgress(console);
    const staging = await Staging.open(folder, { force: values.force === true });
    try {
      await staging.claim([...names.map(plateFileName), MANIFEST_NAME]);
      const artwork = await loadArtwork(recipe, { artworkFile, ppi });
      for (const note of artwork.notes) console.err.write(`${artworkFile}: note: ${note}\n`);
      const manifest = await writePlates(
        staging,
        recipe,
        artwork,
        {
          recipe: { file: basename(file), sha256: digestOf(new TextEncoder().encode(document.text)) },
          artwork: { file: basename(artworkFile), sha256: (await digestOfFile(artworkFile)) ?? "" },
        },
        makePlates(recipe, artwork, progress.part("plates", 0, 1)),
      );
      const retired = await staging.commit((name) => name.endsWith(".png") && !names.includes(name));
      progress.end();
      console.out.write(report(folder, manifest, retired, pixelLine(artwork)));
      return 0;
    } catch (error) {
      staging.discard();
      throw error;
    } finally {
      progress.end();
    }
  },
};

function report(folder: string, manifest: Manifest, retired: readonly string[], artworkLine: string): string {
  const width = Math.max(...manifest.plates.map(({ name }) => name.length));
  const lines = manifest.plates.map(
    ({ name, file, ink, coverage, inkCm2 }) =>
      `  ${name.padEnd(width)}  ${coverage.toFixed(1).padStart(5)} %  ${inkCm2.toFixed(1).padStart(6)} cm²  ${ink.padEnd(width)}  ${join(folder, file)}`,
  );
  const folded = manifest.folded.map(({ name, into }) => `  ${name.padEnd(width)}  folded into ${into}`);
  const gone = retired.map((name) => `  ${join(folder, name)} taken away: no plate of that name any more`);
  return [
    `${manifest.plates.length} plates, ${artworkLine}`,
    ...lines,
    ...folded,
    ...gone,
    `  ${join(folder, MANIFEST_NAME)}`,
    "",
  ].join("\n");
}
