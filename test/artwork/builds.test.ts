import { execFile } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { promisify } from "node:util";
import sharp from "sharp";
import { beforeAll, expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { png, scratch, tiff, words } from "./fixtures.ts";
import { displayP3, greyGamma, press, wideGamut } from "./profiles.ts";

const { folder } = scratch();
const WIDTH = 48;
const HEIGHT = 32;

/** A picture with flat and noisy parts, soft edges and transparency; the same on every run. */
const rgba = Buffer.alloc(WIDTH * HEIGHT * 4);
for (let i = 0, noise = 1; i < WIDTH * HEIGHT; i++) {
  const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
  noise = (noise * 48271) % 2147483647;
  const grain = x > 32 ? noise % 61 : 0;
  rgba.set(
    [(x * 5 + grain) & 255, (y * 8 + grain) & 255, x < 16 ? 200 : (x * y) & 255, Math.min(255, y * 16)],
    i * 4,
  );
}
const rows = (samples: number[], deep: boolean) =>
  Array.from({ length: HEIGHT }, (_, y) => {
    const row: number[] = [];
    for (let i = y * WIDTH * 4; i < (y + 1) * WIDTH * 4; i += 4) row.push(...samples.map((s) => rgba[i + s]));
    return deep
      ? words(
          row.map((v, i) => v * 257 + (i % 7) * 30),
          true,
        )
      : Buffer.from(row);
  });
const base = { width: WIDTH, height: HEIGHT };
const raw = () => sharp(rgba, { raw: { ...base, channels: 4 } });
const flat = (samples: number[]) => Buffer.concat(rows(samples, false));
const deepLittle = (samples: number[]) => Buffer.concat(rows(samples, true)).swap16();

const inkPress = press((c, m, y, k) => [
  Math.round(100 * (1 - k) * (1 - 0.45 * c) * (1 - 0.5 * m) * (1 - 0.1 * y)),
  (1 - k) * (70 * m - 35 * c),
  (1 - k) * (80 * y - 45 * c),
]);

const pixelFiles: Record<string, () => Uint8Array | Promise<Uint8Array>> = {
  "rgba.png": () => png(rows([0, 1, 2, 3], false), { width: WIDTH, bits: 8, type: 6 }),
  "rgb-p3.png": () => png(rows([0, 1, 2], false), { width: WIDTH, bits: 8, type: 2, icc: displayP3() }),
  "rgb-16-wide.png": () => png(rows([0, 1, 2], true), { width: WIDTH, bits: 16, type: 2, icc: wideGamut() }),
  "rgba-16.png": () => png(rows([0, 1, 2, 3], true), { width: WIDTH, bits: 16, type: 6 }),
  "grey.png": () => png(rows([0], false), { width: WIDTH, bits: 8, type: 0 }),
  "grey-16-alpha.png": () =>
    png(rows([0, 3], true), { width: WIDTH, bits: 16, type: 4, icc: greyGamma(1.8) }),
  "palette.png": () =>
    png([Buffer.from([0, 1, 2, 1])], {
      width: 4,
      bits: 8,
      type: 3,
      palette: [9, 8, 7, 200, 0, 0, 0, 0, 99],
      trns: [0, 128],
    }),
  "photo.jpg": () => raw().flatten().jpeg({ quality: 85 }).toBuffer(),
  "turned.jpg": () => raw().flatten().withMetadata({ orientation: 6 }).jpeg({ progressive: true }).toBuffer(),
  "cmyk.jpg": () => raw().flatten().toColourspace("cmyk").jpeg({ quality: 95 }).toBuffer(),
  "lossy.webp": () => raw().webp({ quality: 80 }).toBuffer(),
  "lossless.webp": () => raw().webp({ lossless: true, exact: true }).toBuffer(),
  "lzw.tif": () => raw().tiff({ compression: "lzw", predictor: "horizontal" }).toBuffer(),
  "fax.tif": () =>
    raw()
      .flatten()
      .threshold(120)
      .toColourspace("b-w")
      .tiff({ compression: "ccittfax4", bitdepth: 1 })
      .toBuffer(),
  "rgb-16.tif": () =>
    tiff(deepLittle([0, 1, 2]), { ...base, samples: 3, bits: 16, photometric: 2, icc: displayP3() }),
  "cmyk-profile.tif": () => tiff(flat([0, 1, 2, 3]), { ...base, samples: 4, photometric: 5, icc: inkPress }),
  "cmyk-plain.tif": () => tiff(flat([0, 1, 2, 3]), { ...base, samples: 4, photometric: 5 }),
  "cmyk-16.tif": () =>
    tiff(deepLittle([0, 1, 2, 3]), { ...base, samples: 4, bits: 16, photometric: 5, icc: inkPress }),
  "lab.tif": () => tiff(flat([0, 1, 2]), { ...base, samples: 3, photometric: 8 }),
  "lab-16.tif": () => tiff(deepLittle([0, 1, 2]), { ...base, samples: 3, bits: 16, photometric: 8 }),
};
const SVG = 'xmlns="http://www.w3.org/2000/svg" viewBox="0 0 48 32"';
const drawings: Record<string, string> = {
  "straight.svg": `<svg ${SVG}><rect x="6" y="3" width="21" height="20" fill="#c63" opacity="0.5"/><rect x="12" y="9" width="30" height="19"/></svg>`,
  "curved.svg": `<svg ${SVG}><circle cx="20" cy="16" r="12.3" fill="#c63"/><path d="M2 2L46 21L30 30Z" fill="#05a"/></svg>`,
};

/** Pictures on the disk that a drawing asks for by path: directly, and from a drawing embedded in it. */
const red = join(folder, "red.png");
const asking = (href: string) =>
  `<svg ${SVG} xmlns:xlink="http://www.w3.org/1999/xlink"><image xlink:href="${href}" width="48" height="32"/></svg>`;
const askingDrawings: Record<string, string> = {
  "asks.svg": asking(red),
};

type Read = { width: number; height: number; data: Uint8Array; notes: readonly string[] };

/** What a child with only the WebAssembly build reads, by file name. */
async function readByWebAssembly(ppi?: number): Promise<Record<string, Read>> {
  const out = join(folder, `out-${ppi ?? "native-size"}`);
  mkdirSync(out);
  const script = join(import.meta.dirname, "read-in-child.ts");
  const flags = ["--require", join(import.meta.dirname, "without-native.cjs"), "--import", "tsx"];
  const { stdout } = await promisify(execFile)(process.execPath, [
    ...flags,
    script,
    join(folder, "in"),
    out,
    ...(ppi ? [`${ppi}`] : []),
  ]);
  const { webAssembly, left, sizes } = JSON.parse(stdout);
  expect(webAssembly).toBe(true);
  // A process that ends over a picture must not wait for the decoder's threads.
  expect(left).toBe(0);
  return Object.fromEntries(
    Object.entries<Omit<Read, "data">>(sizes).map(([name, size]) => [
      name,
      { ...size, data: readFileSync(join(out, `${name}.rgba`)) },
    ]),
  );
}

/** Greatest difference of a channel over all pixels that `counts` holds. */
function furthest(one: Read, two: Read, counts: (x: number, y: number) => boolean = () => true): number {
  expect([two.width, two.height]).toEqual([one.width, one.height]);
  let most = 0;
  for (let i = 0; i < one.data.length; i++) {
    const at = i >> 2;
    if (counts(at % one.width, Math.floor(at / one.width)))
      most = Math.max(most, Math.abs(one.data[i] - two.data[i]));
  }
  return most;
}

let atNativeSize: Record<string, Read>;
let resampled: Record<string, Read>;

beforeAll(async () => {
  expect("emscripten" in sharp.versions, "this process has the native build").toBe(false);
  mkdirSync(join(folder, "in"));
  for (const [name, build] of Object.entries(pixelFiles))
    writeFileSync(join(folder, "in", name), await build());
  writeFileSync(red, png([Buffer.from([255, 0, 0])], { width: 1, bits: 8, type: 2 }));
  for (const [name, svg] of Object.entries({ ...drawings, ...askingDrawings }))
    writeFileSync(join(folder, "in", name), svg);
  [atNativeSize, resampled] = await Promise.all([readByWebAssembly(), readByWebAssembly(37)]);
}, 60_000);

async function readHere(name: string, ppi?: number): Promise<Read> {
  const { picture, notes } = await readArtwork(join(folder, "in", name), {
    widthMm: 25.4,
    ...(ppi ? { ppi } : {}),
  });
  return { ...picture, notes };
}

it.each(Object.keys(pixelFiles))("native and WebAssembly read %s within 1/255", async (name) => {
  const native = await readHere(name);
  expect(furthest(native, atNativeSize[name])).toBeLessThanOrEqual(1);
  expect(atNativeSize[name].notes).toEqual(native.notes);
});

it.each(Object.keys(pixelFiles))("native and WebAssembly resample %s within 1/255", async (name) => {
  expect(furthest(await readHere(name, 37), resampled[name])).toBeLessThanOrEqual(1);
});

it("native and WebAssembly draw shapes on whole pixels within 1/255", async () => {
  const native = await readHere("straight.svg", 48);
  const straight = (await readByWebAssembly(48))["straight.svg"];
  expect(furthest(native, straight)).toBeLessThanOrEqual(1);
}, 30_000);

it("native and WebAssembly draw curves within 1/255 away from their edges", async () => {
  // The two builds have different renderers (librsvg, resvg), whose edge pixels legitimately differ.
  const native = await readHere("curved.svg");
  const same = (x: number, y: number) => {
    for (let dy = -1; dy <= 1; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        const [nx, ny] = [
          Math.min(native.width - 1, Math.max(0, x + dx)),
          Math.min(native.height - 1, Math.max(0, y + dy)),
        ];
        for (let k = 0; k < 4; k++) {
          if (native.data[(ny * native.width + nx) * 4 + k] !== native.data[(y * native.width + x) * 4 + k])
            return false;
        }
      }
    }
    return true;
  };
  expect(furthest(native, atNativeSize["curved.svg"], same)).toBeLessThanOrEqual(1);
});

it.each(Object.keys(askingDrawings))("neither build reads a file for %s", async (name) => {
  // The WebAssembly build's renderer, left to itself, opens paths that a drawing names.
  expect(new Set((await readHere(name)).data)).toEqual(new Set([0]));
  expect(new Set(atNativeSize[name].data)).toEqual(new Set([0]));
});
