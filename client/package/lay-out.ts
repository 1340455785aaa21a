import { readFileSync } from "node:fs";
import { cp, mkdir, readFile, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import type Sharp from "sharp";
import { loadSharp } from "../../server/artwork/load-sharp.ts";
import { outputsOf, packagesOf } from "./bundles.ts";
import { extensionPage } from "./extension-page.ts";
import { licencesOf } from "./licences.ts";
import { layOutDecoder } from "./picture-decoder.ts";

/** What goes in as it stands, by path from the project's root. */
const FILES = [
  "CHANGELOG.md",
  "LICENSE",
  "client/icons/recipe-dark.svg",
  "client/icons/recipe-light.svg",
  "client/icons/shop-dark.svg",
  "client/icons/shop-light.svg",
  "client/language-configuration.json",
  "client/separation-order.tmLanguage.json",
  "client/separation-recipe.tmLanguage.json",
  "client/separation-shop.tmLanguage.json",
  "client/walkthrough",
  "dist/extension.cjs",
  "dist/panel",
  "samples/night-garden",
  "samples/readings",
  "samples/workshop.shop.yaml",
  "schemas/order.schema.json",
  "schemas/recipe.schema.json",
  "schemas/shop.schema.json",
];
const ICON = "client/icons/platewright.png";
/** What esbuild wrote of each bundle's parts. */
const PROGRAM = "build/bundles/program.json";
const BUNDLES = [PROGRAM, "build/bundles/extension.json", "build/bundles/panel.json"];
/** Draws by native code, which the package has none of. */
const NATIVE_PROGRAM = "draw-process.js";
/** Copied or drawn from rather than bundled: the page's icons, the films' letters. */
const BESIDE_BUNDLES = ["node_modules/@vscode/codicons", "node_modules/@fontsource/source-sans-3"];

/**
 * Lays the extension out in `folder`, anew: bundles, what package.json contributes, samples, and the picture decoder's
 * WebAssembly build with no native one. Throws where something is missing, for instance the bundles.
 */
export async function layOut(root: string, folder: string): Promise<void> {
  await rm(folder, { recursive: true, force: true });
  const programs = (await outputsOf(join(root, PROGRAM))).filter((file) => !file.endsWith(NATIVE_PROGRAM));
  for (const file of [...FILES, ...programs]) {
    await mkdir(dirname(join(folder, file)), { recursive: true });
    await cp(join(root, file), join(folder, file), { recursive: true });
  }
  const readme = await readFile(join(root, "README.md"), "utf8");
  await writeFile(
    join(folder, "README.md"),
    extensionPage(readme, (path) => readFileSync(join(root, path))),
  );
  await writeFile(join(folder, ICON), await iconOf(join(root, "client/icons/platewright.svg")));

  const decoder = await layOutDecoder(root, join(folder, "node_modules"));
  const bundles = await Promise.all(BUNDLES.map((file) => packagesOf(join(root, file))));
  await writeFile(
    join(folder, "third-party.txt"),
    await licencesOf(root, [...bundles.flat(), ...decoder.packages, ...BESIDE_BUNDLES]),
  );

  const info = JSON.parse(await readFile(join(root, "package.json"), "utf8"));
  await writeFile(join(folder, "package.json"), json(manifest(info, decoder.version)));
  await writeFile(join(folder, ".vscodeignore"), "# All that is laid out here belongs to the extension.\n");
  // The extension itself is CommonJS, as the editor loads it; the program beside it is made of modules.
  await writeFile(join(folder, "dist/package.json"), json({ type: "module" }));
}

/** package.json as the editor needs it: without what is for building, with what is beside the bundles. */
function manifest(info: Record<string, unknown>, sharp: string): object {
  const { type, private: _, bin, files, scripts, devDependencies, ...kept } = info;
  return { ...kept, icon: ICON, dependencies: { sharp } };
}

function iconOf(drawing: string): Promise<Buffer> {
  const sharp: typeof Sharp = loadSharp();
  return sharp(drawing).resize(256, 256).png({ compressionLevel: 9 }).toBuffer();
}

function json(value: object): string {
  return `${JSON.stringify(value, null, 2)}\n`;
}
