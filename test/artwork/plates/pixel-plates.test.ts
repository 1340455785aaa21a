import { readFileSync } from "node:fs";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { openPlates } from "../../../server/artwork/plates/plate-file.ts";
import type { PlateView } from "../../../server/artwork/plates/plates.ts";
import { BYTES, LONG, SHORT, tiffField, tiffFile, tiffText } from "../../../server/artwork/tiff/write.ts";
import { has, run } from "../../output/films/tools.ts";
import { scratch, tiff } from "../fixtures.ts";

const { folder, put } = scratch();

const ANY: PlateView = {
  page: undefined,
  channel: undefined,
  colorant: undefined,
  solid: undefined,
  screened: false,
};

const [WIDTH, HEIGHT] = [20, 12];
/** Tones that differ from pixel to pixel and from plate to plate. */
const ramp = (plate: number) =>
  Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => (i * 7 + plate * 61) % 256);

async function plateOf(
  file: string,
  view: Partial<PlateView> = {},
  size?: { width: number; height: number },
) {
  const opened = await openPlates(file, view.page);
  const { tones } = await opened.tones([{ ...ANY, ...view }], size);
  return { info: opened.info, tones: tones[0]! };
}

const problem = (file: string, view: Partial<PlateView> = {}) =>
  plateOf(file, view).then(
    () => "none",
    ({ message }: Error) => message.slice(file.length + 2),
  );

describe("a grey picture", () => {
  const grey = (at: (i: number) => number) =>
    sharp(
      Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => at(i)),
      {
        raw: { width: WIDTH, height: HEIGHT, channels: 1 },
      },
    );

  it("gives its tones, black solid or white as it is said", async () => {
    const file = put(
      "grey.png",
      await grey((i) => 255 - ramp(0)[i]!)
        .toColourspace("b-w")
        .png()
        .toBuffer(),
    );
    expect((await plateOf(file)).tones).toEqual(ramp(0));
    expect((await plateOf(file, { solid: "black" })).tones).toEqual(ramp(0));
    expect((await plateOf(file, { solid: "white" })).tones).toEqual(ramp(0).map((v) => 255 - v));
  });

  it("gives the same where it is stored as colour, or with 16 bits", async () => {
    const colour = put(
      "rgb.png",
      await grey((i) => 255 - ramp(0)[i]!)
        .toColourspace("srgb")
        .png()
        .toBuffer(),
    );
    expect((await plateOf(colour)).tones).toEqual(ramp(0));
    const deep = Uint16Array.from(ramp(0), (v) => (255 - v) * 257);
    const file = put(
      "deep.tif",
      tiff(new Uint8Array(deep.buffer), {
        width: WIDTH,
        height: HEIGHT,
        samples: 1,
        bits: 16,
        photometric: 1,
      }),
    );
    expect((await plateOf(file)).tones).toEqual(ramp(0));
  });

  it("prints nothing where it is clear, whichever end is solid", async () => {
    const pixels = Uint8Array.from({ length: WIDTH * HEIGHT * 4 }, (_, i) => (i % 4 === 3 ? 0 : 90));
    const raw = { width: WIDTH, height: HEIGHT, channels: 4 } as const;
    const file = put("clear.png", await sharp(pixels, { raw }).png().toBuffer());
    expect(new Set((await plateOf(file)).tones)).toEqual(new Set([0]));
    expect(new Set((await plateOf(file, { solid: "white" })).tones)).toEqual(new Set([0]));
  });

  it("comes at another size with its mean kept", async () => {
    const file = put(
      "half.png",
      await grey((i) => ((i % WIDTH) % 2 ? 255 : 0))
        .toColourspace("b-w")
        .png()
        .toBuffer(),
    );
    const { tones } = await plateOf(file, { screened: true }, { width: WIDTH / 2, height: HEIGHT / 2 });
    const inner = [...tones].filter((_, i) => i % (WIDTH / 2) > 0 && i % (WIDTH / 2) < WIDTH / 2 - 1);
    expect(Math.max(...inner) - Math.min(...inner)).toBeLessThanOrEqual(2);
    expect(inner[0]).toBeGreaterThan(125);
    expect(inner[0]).toBeLessThan(130);
  });

  it("is refused where it is in colour, unless a channel is meant", async () => {
    const pixels = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => [200, 30, 30][i % 3]!);
    const raw = { width: WIDTH, height: HEIGHT, channels: 3 } as const;
    const file = put("red.png", await sharp(pixels, { raw }).png().toBuffer());
    expect(await problem(file)).toBe(
      "the picture is in colour and a plate is grey; ask for the plate alone, or say which channel it is (channel: 1 to 3)",
    );
    expect((await plateOf(file, { channel: 1 })).tones[0]).toBe(55);
    expect(await problem(file, { channel: 4 })).toBe("the picture has 3 channels, no channel 4");
  });
});

/** A TIFF of inks as TIFF 6.0, §16 has it: its samples beside one another, or plane by plane. */
function inkTiff(plates: readonly Uint8Array[], names: readonly string[], planar: boolean): Uint8Array {
  const count = plates.length;
  const chunky = new Uint8Array(WIDTH * HEIGHT * count);
  for (const [p, tones] of plates.entries())
    for (let i = 0; i < tones.length; i++) chunky[i * count + p] = tones[i]!;
  return tiffFile(
    [
      tiffField(256, LONG, [WIDTH]),
      tiffField(257, LONG, [HEIGHT]),
      tiffField(258, SHORT, new Array<number>(count).fill(8)),
      tiffField(259, SHORT, [1]),
      tiffField(262, SHORT, [5]),
      tiffField(277, SHORT, [count]),
      tiffField(278, LONG, [HEIGHT]),
      tiffField(284, SHORT, [planar ? 2 : 1]),
      tiffField(332, SHORT, [2]),
      { ...tiffText(333, names.join("\0")), bytes: Buffer.from(`${names.join("\0")}\0`, "latin1") },
      tiffField(334, SHORT, [count]),
      tiffField(338, BYTES, []),
    ].filter(({ count }) => count > 0),
    planar ? plates : [chunky],
  );
}

describe("a TIFF of inks", () => {
  const names = ["Base", "Ember", "Slate", "Rose", "Glint"];
  const plates = names.map((_, p) => ramp(p));

  it.each([
    ["sample by sample", false],
    ["plane by plane", true],
  ])("gives each ink by its name or number, %s", async (way, planar) => {
    const file = put(`inks-${way}.tif`, inkTiff(plates, names, planar));
    const { info } = await plateOf(file, { colorant: "Base" });
    expect(info).toMatchObject({
      colorants: names,
      channels: 5,
      width: WIDTH,
      height: HEIGHT,
      oneBit: false,
    });
    for (const [p, name] of names.entries()) {
      expect((await plateOf(file, { colorant: name })).tones).toEqual(plates[p]);
      expect((await plateOf(file, { channel: p + 1 })).tones).toEqual(plates[p]);
    }
    expect((await plateOf(file, { colorant: "ember", solid: "white" })).tones).toEqual(
      plates[1]!.map((v) => 255 - v),
    );
  });

  it("is asked which ink, and says which it has", async () => {
    const file = put("which.tif", inkTiff(plates, names, true));
    expect(await problem(file)).toBe(
      'the file has 5 inks (Base, Ember, Slate, Rose and Glint); say which one, as colorant: "Base"',
    );
    expect(await problem(file, { colorant: "Gold" })).toBe(
      'there is no ink "Gold" in the file; it has Base, Ember, Slate, Rose and Glint',
    );
    expect(await problem(file, { channel: 9 })).toBe("the file has 5 channels, no channel 9");
    expect(await problem(file, { page: 2 })).toBe("the file has 1 page and no page 2");
  });

  it("of CMYK has the process colours' names", async () => {
    const cmyk = Uint8Array.from({ length: WIDTH * HEIGHT * 4 }, (_, i) => ramp(i % 4)[i >> 2]!);
    const file = put("cmyk.tif", tiff(cmyk, { width: WIDTH, height: HEIGHT, samples: 4, photometric: 5 }));
    expect((await plateOf(file, { colorant: "Black" })).tones).toEqual(ramp(3));
    expect((await plateOf(file, { colorant: "cyan" })).tones).toEqual(ramp(0));
  });

  it.skipIf(!has("raw2tiff", "tiffcp"))(
    "comes the same in what libtiff writes: six inks, compressed, tiled, plane by plane, 16 bits (needs libtiff's tools)",
    async () => {
      const six = [0, 1, 2, 3, 4, 5].map(ramp);
      const raw = Uint8Array.from({ length: WIDTH * HEIGHT * 6 }, (_, i) => six[i % 6]![Math.floor(i / 6)]!);
      put("six.raw", raw);
      put("deep.raw", new Uint8Array(Uint16Array.from(raw, (v) => v * 257).buffer));
      const size = ["-w", String(WIDTH), "-l", String(HEIGHT), "-b", "6", "-p", "cmyk"];
      run("raw2tiff", [...size, "-c", "lzw", "six.raw", "lzw.tif"], folder);
      run("raw2tiff", [...size, "-d", "short", "deep.raw", "short.tif"], folder);
      run("tiffcp", ["-p", "separate", "-c", "zip", "lzw.tif", "planes.tif"], folder);
      run("tiffcp", ["-t", "-w", "16", "-l", "16", "-c", "packbits", "lzw.tif", "tiles.tif"], folder);
      for (const name of ["lzw.tif", "short.tif", "planes.tif", "tiles.tif"])
        for (const p of [0, 3, 5])
          expect((await plateOf(`${folder}/${name}`, { channel: p + 1 })).tones, `${name}, ink ${p}`).toEqual(
            six[p],
          );
    },
  );
});

describe("the pages of a TIFF", () => {
  it("are plates each", async () => {
    const pages = [0, 1, 2].map((p) => ramp(p).map((v) => 255 - v));
    const file = put("pages.tif", tiff(pages, { width: WIDTH, height: HEIGHT, samples: 1, photometric: 1 }));
    expect((await plateOf(file)).info.pages).toBe(3);
    for (const p of [0, 1, 2]) expect((await plateOf(file, { page: p + 1 })).tones).toEqual(ramp(p));
    expect(await problem(file, { page: 4 })).toBe("the file has 3 pages and no page 4");
  });

  it.each([0, 1])(
    "of one bit are ink where they are black, written with %d for white or black",
    async (photometric) => {
      const bits = Uint8Array.from({ length: 2 * 8 }, (_, i) => (i * 37) % 256);
      const file = put(
        `bits-${photometric}.tif`,
        tiff(bits, { width: 16, height: 8, samples: 1, bits: 1, photometric }),
      );
      const { info, tones } = await plateOf(file, { screened: true });
      expect(info.oneBit).toBe(true);
      const inkIs = photometric === 0 ? 1 : 0;
      const wanted = Array.from({ length: 16 * 8 }, (_, i) =>
        ((bits[i >> 3]! >> (7 - (i & 7))) & 1) === inkIs ? 255 : 0,
      );
      expect([...tones]).toEqual(wanted);
    },
  );
});

describe("what is no plate", () => {
  it("is told in one line", async () => {
    const nothing = put("nothing.png", "not a picture");
    expect(await problem(nothing)).toBe(
      "this is not a picture; a plate is a grey PNG, JPEG, WebP or TIFF, or a separation of a PDF: export it as one of these",
    );
    // 60,000 × 60,000 pixels of one bit, of which nothing stands in the file.
    const head = tiff(new Uint8Array(8), { width: 16, height: 4, samples: 1, bits: 1, photometric: 0 });
    const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
    const directory = view.getUint32(4, true);
    for (let i = 0; i < view.getUint16(directory, true); i++) {
      const entry = directory + 2 + 12 * i;
      if ([256, 257].includes(view.getUint16(entry, true))) {
        view.setUint16(entry + 2, LONG, true);
        view.setUint32(entry + 8, 60_000, true);
      }
    }
    expect(await problem(put("huge.tif", head))).toBe(
      "the file has 60000 × 60000 pixels (3600.0 Mpx), the limit is 400.0 Mpx; save it at a lower resolution",
    );
    const whole = readFileSync(put("cut.tif", inkTiff([ramp(0), ramp(1), ramp(2)], ["A", "B", "C"], true)));
    expect(
      await problem(put("cut-short.tif", whole.subarray(0, whole.length - 300)), { channel: 2 }),
    ).toMatch(/^the picture is damaged or cut short \(.+\); export or copy it again$/);
    const two = put("two.tif", inkTiff([ramp(0), ramp(1)], ["A", "B"], true));
    expect(await problem(two, { channel: 2 })).toMatch(/^the file has two channels plane by plane/);
  });
});
