import { cp, mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { build } from "esbuild";
import { packagesIn } from "./bundles.ts";

/** What the WebAssembly build asks for, file by file. */
const WEB_ASSEMBLY = {
  "@img/sharp-wasm32": ["index.cjs", "lib", "versions.json", "README.md", "LICENSE"],
  "@resvg/resvg-wasm": ["index.js", "index_bg.wasm", "README.md"],
  "@hyzyla/pdfium": ["dist/index.cjs", "dist/pdfium.wasm", "LICENSE.md"],
  "@emnapi/runtime": ["index.js", "dist/emnapi.cjs.js", "dist/emnapi.cjs.min.js", "LICENSE"],
};

/**
 * Lays sharp out in `modules` with its WebAssembly build. sharp's own loader tries native builds first, and would find one
 * in any folder above the extension's, such as a node_modules in the user's home; here it knows the one build alone.
 */
export async function layOutDecoder(
  root: string,
  modules: string,
): Promise<{ readonly version: string; readonly packages: readonly string[] }> {
  const source = join(root, "node_modules/sharp");
  const target = join(modules, "sharp");
  const { metafile } = await build({
    entryPoints: [join(source, "dist/index.cjs")],
    outfile: join(target, "index.cjs"),
    absWorkingDir: root,
    bundle: true,
    platform: "node",
    target: "node20.9",
    format: "cjs",
    metafile: true,
    logLevel: "warning",
    plugins: [
      {
        name: "one build",
        setup: ({ onResolve }) =>
          onResolve({ filter: /^\.\/sharp\.cjs$/ }, () => ({
            path: "@img/sharp-wasm32/sharp.node",
            external: true,
          })),
      },
    ],
  });
  const dependencies: Record<string, string> = {};
  for (const [name, files] of Object.entries(WEB_ASSEMBLY)) {
    const from = join(root, "node_modules", name);
    const to = join(modules, name);
    for (const file of files) {
      await mkdir(dirname(join(to, file)), { recursive: true });
      await cp(join(from, file), join(to, file), { recursive: true });
    }
    const { version, license, main, exports } = await infoOf(from);
    await writeInfo(to, { name, version, license, main, exports });
    dependencies[name] = version;
  }
  const { name, version, license } = await infoOf(source);
  await writeInfo(target, { name, version, license, main: "index.cjs", dependencies });
  await cp(join(source, "LICENSE"), join(target, "LICENSE"));
  const packages = Object.keys(WEB_ASSEMBLY).map((name) => `node_modules/${name}`);
  return { version, packages: [...packagesIn(metafile), ...packages] };
}

async function infoOf(folder: string): Promise<Record<string, unknown> & { version: string }> {
  return JSON.parse(await readFile(join(folder, "package.json"), "utf8"));
}

function writeInfo(folder: string, info: object): Promise<void> {
  return writeFile(join(folder, "package.json"), `${JSON.stringify(info)}\n`);
}
