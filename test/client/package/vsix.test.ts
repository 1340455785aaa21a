import { spawn } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { ended, PROGRAM } from "../../cli/program.ts";
import { entriesOfVsix, unpackVsix, VSIX } from "./vsix.ts";

const MEGABYTE = 1_000_000;
const decoder = new TextDecoder("utf8", { fatal: true });

/**
 * Within the project's folder on purpose: its node_modules hold the native build of sharp, which Node would find from
 * here, as it would find one above the folder that an editor installs into.
 */
const build = fileURLToPath(new URL("../../../build", import.meta.url));
let folder: string;
let extension: string;
let info: { readonly main: string; readonly icon: string; readonly contributes: object };

beforeAll(() => {
  expect(existsSync(VSIX), "run `npm run package` first").toBe(true);
  mkdirSync(build, { recursive: true });
  folder = mkdtempSync(join(build, "unpacked-"));
  extension = join(folder, "extension");
  unpackVsix(extension);
  info = JSON.parse(readFileSync(join(extension, "package.json"), "utf8"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("the package", () => {
  it("has what belongs to an extension, and nothing else", () => {
    const kinds = new Map<string, number>();
    for (const path of Object.keys(entriesOfVsix())) {
      const kind = KINDS.find(([pattern]) => pattern.test(path))?.[1] ?? `not expected: ${path}`;
      kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    }
    expect(Object.fromEntries(kinds)).toEqual({
      "the archive's own": 2,
      "for people": 4,
      manifest: 2,
      bundle: 7,
      "the panel's page": 4,
      "schema, grammar": 7,
      picture: 10,
      sample: 9,
      "picture decoder": 17,
      "its licences": 6,
    });
  });

  it("has neither native code nor maps nor sources", () => {
    const paths = Object.keys(entriesOfVsix());
    expect(paths.filter((path) => /\.(?:node|so(?:\.\d+)*|dylib|dll|exe|map|ts|tsx)$/i.test(path))).toEqual(
      [],
    );
    const started = Object.entries(entriesOfVsix()).filter(([, bytes]) => isNative(bytes));
    expect(started.map(([path]) => path)).toEqual([]);
  });

  it("has every program of the build", () => {
    const built = readdirSync(fileURLToPath(new URL("../../../dist", import.meta.url)));
    // The package draws in WebAssembly, in its own process.
    const programs = built.filter((name) => name.endsWith(".js") && name !== "draw-process.js");
    expect(programs.length).toBeGreaterThan(3);
    const paths = Object.keys(entriesOfVsix());
    expect(programs.filter((name) => !paths.includes(`extension/dist/${name}`))).toEqual([]);
  });

  it("takes 10 MB at most", () => {
    expect(statSync(VSIX).size).toBeLessThanOrEqual(10 * MEGABYTE);
  });

  it("says who made what is inside", () => {
    const text = readFileSync(join(extension, "third-party.txt"), "utf8");
    for (const name of [
      "yaml",
      "vscode-languageclient",
      "lit",
      "@vscode/codicons",
      "@img/sharp-wasm32",
      "@resvg/resvg-wasm",
      "@hyzyla/pdfium",
    ])
      expect(text).toContain(`=== ${name} `);
    // Whole licences, and where the sources are, as what the pictures' decoders hold asks for.
    for (const [title, words] of [
      ["GNU Lesser General Public License", "Combined Works"],
      ["GNU General Public License", "Corresponding Source"],
      ["Mozilla Public License 2.0", "Source Code Form"],
      ["Apache License 2.0", "Derivative Works"],
    ])
      expect(text.split("\n=== ").find((part) => part.startsWith(title!))).toContain(words);
    for (const source of [
      "github.com/lovell/sharp-libvips",
      "github.com/yisibl/resvg-js",
      "pdfium.googlesource.com",
    ])
      expect(text).toContain(source);
  });

  it("names files that are there", () => {
    const { main, icon, contributes } = info;
    const named =
      JSON.stringify(contributes).match(/(?<=")(?:\.\/)?(?:client|schemas)\/[\w./-]+(?=")/g) ?? [];
    expect(named.length).toBeGreaterThan(10);
    for (const file of [main, icon, ...named])
      expect([file, existsSync(join(extension, file))]).toEqual([file, true]);
  });

  it("has an icon of 256 × 256 pixels", async () => {
    const { format, width, height } = await sharp(join(extension, info.icon)).metadata();
    expect([format, width, height]).toEqual(["png", 256, 256]);
  });

  it("shows a page that needs no file beside it", () => {
    const page = decoder.decode(entriesOfVsix()["extension/readme.md"]);
    const targets = [...page.matchAll(/\]\(([^)\s]+)\)/g)].map(([, target = ""]) => target);
    expect(targets.length).toBeGreaterThan(0);
    const pictures = targets.filter((target) => target.startsWith("data:image/png;base64,"));
    expect(pictures).toHaveLength(5);
    expect(targets.filter((target) => !/^(?:https:|#)/.test(target) && !pictures.includes(target))).toEqual(
      [],
    );
  });
});

describe("the program in the package", () => {
  const SAMPLE = ["samples/night-garden/night-garden.sep.yaml", "--ppi", "30"];

  it("makes the sample's plates and loads no native module", async () => {
    const out = join(folder, "plates");
    const { run, native } = await program(["plates", ...SAMPLE, "--out", out]);
    expect([run.status, run.err, native]).toEqual([0, "", ""]);
    expect(readdirSync(out)).toContain("ember.png");
  });

  it("makes the sample's proof and loads no native module", async () => {
    const out = join(folder, "proof.png");
    const { run, native } = await program(["proof", ...SAMPLE, "--garment", "black", "--out", out]);
    expect([run.status, run.err, native]).toEqual([0, "", ""]);
    expect((await sharp(out).metadata()).width).toBe(360);
  });

  it("would be caught loading one, as the project's own is", async () => {
    const out = join(folder, "caught");
    const { native } = await program(["plates", ...SAMPLE, "--out", out], PROGRAM);
    expect(native).toMatch(/sharp-[\w.-]+\.node$/m);
  });
});

/** What each path of the package is, the first that fits. */
const KINDS: readonly [RegExp, string][] = [
  [/^(?:\[Content_Types\]\.xml|extension\.vsixmanifest)$/, "the archive's own"],
  [/^extension\/(?:readme\.md|changelog\.md|LICENSE\.txt|third-party\.txt)$/, "for people"],
  [/^extension\/(?:dist\/)?package\.json$/, "manifest"],
  [
    /^extension\/dist\/(?:extension\.cjs|(?:platewright|measure-process|film-worker|strip-worker|pdf-process|draw-wasm-process)\.js)$/,
    "bundle",
  ],
  [/^extension\/dist\/panel\/(?:panel\.js|panel\.css|codicon\.css|codicon\.ttf)$/, "the panel's page"],
  [/^extension\/(?:schemas\/\w+\.schema|client\/[\w.-]+)\.json$/, "schema, grammar"],
  [/^extension\/client\/(?:icons|walkthrough)\/[\w-]+\.(?:svg|png)$/, "picture"],
  [/^extension\/samples\/(?:[\w-]+\/)?[\w-]+\.(?:(?:sep|shop|order)\.yaml|svg|txt)$/, "sample"],
  [
    /^extension\/node_modules\/(?:sharp|@img\/sharp-wasm32|@emnapi\/runtime|@resvg\/resvg-wasm|@hyzyla\/pdfium)\/.*\.(?:c?js|wasm)$/,
    "picture decoder",
  ],
  [/^extension\/node_modules\/.*\/(?:package|versions)\.json$/, "picture decoder"],
  [/^extension\/node_modules\/.*\/(?:LICENSE(?:\.md)?|README\.md)$/, "its licences"],
];

/** By the first bytes: ELF, Mach-O (thin and fat), Windows' PE. */
function isNative(bytes: Uint8Array): boolean {
  const head = Buffer.from(bytes.subarray(0, 4)).toString("hex");
  return /^(?:7f454c46|feedfac[ef]|c[ef]faedfe|cafebabe|4d5a)/.test(head);
}

/** A run in which no native module loads, and which of them it tried to load, a line each. */
async function program(args: readonly string[], file = join(extension, "dist/platewright.js")) {
  const tried = join(folder, "native-modules.txt");
  writeFileSync(tried, "");
  const hook = fileURLToPath(new URL("refuse-native.cjs", import.meta.url));
  const env = { ...process.env, NODE_OPTIONS: `--require "${hook}"`, NATIVE_MODULES_FILE: tried };
  const stdio = ["ignore", "pipe", "pipe"] as const;
  const run = await ended(
    spawn(process.execPath, [file, ...args], { cwd: extension, env, stdio: [...stdio] }),
  );
  return { run, native: readFileSync(tried, "utf8") };
}
