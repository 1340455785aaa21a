import { readFileSync } from "node:fs";
import { deflateSync } from "node:zlib";
import { PDFDocument, PDFName, PDFRawStream } from "@cantoo/pdf-lib";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { openPlates } from "../../../server/artwork/plates/plate-file.ts";
import type { PlateView } from "../../../server/artwork/plates/plates.ts";
import { encodeG4 } from "../../../server/output/films/g4.ts";
import { has, run } from "../../output/films/tools.ts";
import { scratch } from "../fixtures.ts";

const { folder, put } = scratch();

const ANY: PlateView = {
  page: undefined,
  channel: undefined,
  colorant: undefined,
  solid: undefined,
  screened: false,
};

async function plateOf(
  file: string,
  view: Partial<PlateView> = {},
  size?: { width: number; height: number },
) {
  const opened = await openPlates(file, view.page);
  const made = await opened.tones([{ ...ANY, ...view }], size);
  return { info: opened.info, size: made.size, tones: made.tones[0]! };
}

const problem = (file: string, view: Partial<PlateView> = {}) =>
  plateOf(file, view).then(
    () => "none",
    ({ message }: Error) => message.slice(file.length + 2),
  );

const [WIDTH, HEIGHT] = [24, 16];
const ramp = (plate: number) =>
  Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => (i * 7 + plate * 61) % 256);

interface Picture {
  /** A name, or several: Separation, or DeviceN. */
  readonly inks: readonly string[];
  readonly samples: Uint8Array;
  readonly dict?: Record<string, unknown>;
  readonly bits?: number;
}

/** A name as the standard recommends it; the library takes its argument's characters for bytes. */
const named = (name: string) => PDFName.of(Buffer.from(name, "utf8").toString("latin1"));

/** A page of 72 × 48 points: what is given draws pictures I0, I1, … in colour spaces C0, C1, …. */
async function pdf(
  content: string,
  pictures: readonly Picture[],
  more: (doc: PDFDocument) => void = () => {},
) {
  const doc = await PDFDocument.create({ updateMetadata: false });
  const { context } = doc;
  const page = doc.addPage([72, 48]);
  const tint = context.obj({ FunctionType: 2, Domain: [0, 1], C0: [1, 1, 1], C1: [0.8, 0.2, 0.1], N: 1 });
  const spaces = pictures.map(({ inks }) =>
    context.register(
      context.obj(
        inks.length === 1
          ? ["Separation", named(inks[0]!), "DeviceRGB", tint]
          : ["DeviceN", inks.map(named), "DeviceRGB", tint],
      ),
    ),
  );
  const images = pictures.map(({ samples, dict = {}, bits = 8 }, i) => {
    const head = context.obj({
      Type: "XObject",
      Subtype: "Image",
      Width: WIDTH,
      Height: HEIGHT,
      BitsPerComponent: bits,
      ColorSpace: spaces[i]!,
      Filter: "FlateDecode",
      ...(dict as Record<string, never>),
      Length: samples.length,
    });
    return context.register(PDFRawStream.of(head, samples));
  });
  const byNumber = (letter: string, refs: readonly unknown[]) =>
    Object.fromEntries(refs.map((ref, i) => [`${letter}${i}`, ref as never]));
  page.node.set(
    PDFName.of("Resources"),
    context.obj({
      XObject: byNumber("I", images),
      ColorSpace: byNumber("C", spaces),
      ExtGState: { Over: { OP: true, op: true }, Half: { ca: 0.5 } },
    }),
  );
  const bytes = Buffer.from(content, "latin1");
  page.node.set(PDFName.of("Contents"), context.register(context.flateStream(bytes)));
  more(doc);
  return doc.save({ useObjectStreams: false });
}

const WHOLE = "q 72 0 0 48 0 0 cm";
const flate = (inks: readonly string[], samples: Uint8Array, dict = {}): Picture => ({
  inks,
  samples: deflateSync(samples),
  dict,
});

describe("pictures in a separation", () => {
  it("come as they stand in the file, by the name of their colorant", async () => {
    const file = put(
      "two.pdf",
      await pdf(`/Over gs ${WHOLE} /I0 Do /I1 Do Q`, [flate(["Ember"], ramp(0)), flate(["Grün 2"], ramp(1))]),
    );
    const { info, tones, size } = await plateOf(file, { colorant: "Ember" });
    expect(tones).toEqual(ramp(0));
    expect(size).toEqual({ width: WIDTH, height: HEIGHT });
    expect(info).toMatchObject({ colorants: ["Ember", "Grün 2"], pages: 1, oneBit: false });
    expect(info.sizeMm!.width).toBeCloseTo(25.4, 6);
    expect(info.looks.get("Ember")).toEqual([204, 51, 26]);
    expect((await plateOf(file, { colorant: "Grün 2" })).tones).toEqual(ramp(1));
    expect((await plateOf(file, { colorant: "Ember", solid: "white" })).tones).toEqual(
      ramp(0).map((v) => 255 - v),
    );
  });

  it("of several colorants give each of them, turned where Decode says so", async () => {
    const three = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => ramp(i % 3)[Math.floor(i / 3)]!);
    const inks = ["Base", "Ember", "Cyan"];
    const file = put(
      "n.pdf",
      await pdf(`${WHOLE} /I0 Do Q`, [flate(inks, three, { Decode: [0, 1, 1, 0, 0, 1] })]),
    );
    expect((await plateOf(file, { colorant: "Base" })).tones).toEqual(ramp(0));
    expect((await plateOf(file, { colorant: "Ember" })).tones).toEqual(ramp(1).map((v) => 255 - v));
    expect((await plateOf(file, { colorant: "Cyan" })).tones).toEqual(ramp(2));
  });

  it("are read with PNG's filters, as JPEG, and as Group 4 of one bit", async () => {
    const png = await sharp(ramp(0), { raw: { width: WIDTH, height: HEIGHT, channels: 1 } })
      .toColourspace("b-w")
      .png({ adaptiveFiltering: true })
      .toBuffer();
    const idat = png.subarray(png.indexOf("IDAT") + 4, png.indexOf("IEND") - 8);
    const filtered = {
      inks: ["Ember"],
      samples: idat,
      dict: { DecodeParms: { Predictor: 15, Colors: 1, Columns: WIDTH, BitsPerComponent: 8 } },
    };
    const flat = new Uint8Array(WIDTH * HEIGHT).fill(180);
    const jpeg = {
      inks: ["Slate"],
      samples: await sharp(flat, { raw: { width: WIDTH, height: HEIGHT, channels: 1 } })
        .toColourspace("b-w")
        .jpeg()
        .toBuffer(),
      dict: { Filter: "DCTDecode" },
    };
    const bits = Uint8Array.from({ length: 3 * HEIGHT }, (_, i) => (i * 91) % 256);
    const fax = (blackIs1: boolean) => ({
      inks: [blackIs1 ? "Line" : "Turned"],
      samples: encodeG4(bits, WIDTH, HEIGHT),
      bits: 1,
      dict: {
        Filter: "CCITTFaxDecode",
        DecodeParms: { K: -1, Columns: WIDTH, Rows: HEIGHT, BlackIs1: blackIs1 },
      },
    });
    const file = put(
      "coded.pdf",
      await pdf(`/Over gs ${WHOLE} /I0 Do /I1 Do /I2 Do /I3 Do Q`, [filtered, jpeg, fax(true), fax(false)]),
    );
    expect((await plateOf(file, { colorant: "Ember" })).tones).toEqual(ramp(0));
    expect((await plateOf(file, { colorant: "Slate" })).tones).toEqual(flat);
    const dots = Array.from(
      { length: WIDTH * HEIGHT },
      (_, i) => ((bits[i >> 3]! >> (7 - (i & 7))) & 1) * 255,
    );
    expect([...(await plateOf(file, { colorant: "Line" })).tones]).toEqual(dots);
    expect([...(await plateOf(file, { colorant: "Turned" })).tones]).toEqual(dots.map((v) => 255 - v));
  });

  it("stand where the page has them, within its trim box, whichever way round", async () => {
    const trimmed = (doc: PDFDocument) => doc.getPage(0).setTrimBox(12, 8, 48, 32);
    const [half, quarter] = [
      "q 24 0 0 16 12 24 cm /I0 Do Q",
      // Mirrored, and on its head.
      "q -24 0 0 -16 60 24 cm /I0 Do Q",
    ];
    const file = put("placed.pdf", await pdf(`${half} ${quarter}`, [flate(["Ember"], ramp(0))], trimmed));
    const { tones } = await plateOf(file, {}, { width: 2 * WIDTH, height: 2 * HEIGHT });
    const at = (x: number, y: number) => tones[y * 2 * WIDTH + x];
    for (const [x, y] of [
      [0, 0],
      [5, 3],
      [WIDTH - 1, HEIGHT - 1],
    ] as const) {
      expect(at(x, y)).toBe(ramp(0)[y * WIDTH + x]);
      expect(at(2 * WIDTH - 1 - x, 2 * HEIGHT - 1 - y)).toBe(ramp(0)[y * WIDTH + x]);
      expect(at(WIDTH + x, y)).toBe(0);
    }
  });

  it("are found on the page that has them, or on the one that is named", async () => {
    const one = await PDFDocument.load(await pdf(`${WHOLE} /I0 Do Q`, [flate(["Ember"], ramp(0))]));
    const other = await PDFDocument.load(await pdf(`${WHOLE} /I0 Do Q`, [flate(["Slate"], ramp(1))]));
    one.addPage((await one.copyPages(other, [0]))[0]);
    const file = put("pages.pdf", await one.save());
    expect((await plateOf(file, { colorant: "Slate" })).tones).toEqual(ramp(1));
    expect((await plateOf(file, { page: 2 })).tones).toEqual(ramp(1));
    expect(await problem(file)).toBe(
      'the PDF has the separations Ember and Slate; say which one, as colorant: "Ember"',
    );
    expect(await problem(file, { page: 3 })).toBe("the PDF has 2 pages and no page 3; name one that it has");
    expect(await problem(file, { page: 1, colorant: "Slate" })).toBe(
      'there is no ink "Slate" in the file; it has Ember',
    );
  });
});

describe("what other things do to a plate", () => {
  const ember = flate(["Ember"], ramp(0));
  const slate = flate(["Slate"], ramp(1));
  const cases: [what: string, content: string, picture: boolean][] = [
    ["a drawing in its own ink", `${WHOLE} /I0 Do Q /C0 cs 1 scn 5 5 20 20 re f`, false],
    ["a drawing in all inks", `${WHOLE} /I0 Do Q /C2 cs 1 scn 5 5 20 20 re f`, false],
    ["marks beyond the page's box", `${WHOLE} /I0 Do Q /C2 cs 1 scn 80 5 20 20 re f`, true],
    ["another plate that knocks it out", `${WHOLE} /I0 Do /I1 Do Q`, false],
    ["another plate that overprints", `/Over gs ${WHOLE} /I0 Do /I1 Do Q`, true],
    ["another plate beneath it", `${WHOLE} /I1 Do /I0 Do Q`, true],
    ["something that shines through", `/Half gs ${WHOLE} /I0 Do Q`, false],
    ["a clipping path", `q 0 0 m 72 0 l 40 48 l h W n ${WHOLE} /I0 Do Q Q`, false],
    ["a clipping rectangle around it", `q 0 0 72 48 re W n ${WHOLE} /I0 Do Q Q`, true],
    ["a turn", "q 0 48 -72 0 72 0 cm /I0 Do Q", false],
    ["words of its ink", `${WHOLE} /I0 Do Q BT /C0 cs 1 scn (a\\)b) Tj ET`, false],
    ["a string that looks like operators", `(/I1 Do) pop ${WHOLE} /I0 Do Q`, true],
    ["a picture within the content", `${WHOLE} /I0 Do Q BI /W 1 /H 1 ID x EI`, false],
  ];
  const [all] = [flate(["All"], ramp(2))];

  it.each(cases)("%s", async (_, content, isPicture) => {
    const file = put("others.pdf", await pdf(content, [ember, slate, all]));
    const path = process.env.PATH;
    process.env.PATH = "/nowhere";
    try {
      const made = await plateOf(file, { colorant: "Ember" }).catch(({ message }: Error) => message);
      if (isPicture) expect(made).toMatchObject({ tones: ramp(0) });
      else
        expect(made).toMatch(
          /holds drawings or text, which Ghostscript draws, and there is none on this machine/,
        );
    } finally {
      process.env.PATH = path;
    }
  });
});

describe.skipIf(!has("gs"))("separations with drawings (needs Ghostscript)", () => {
  it("are drawn by Ghostscript, edges as shares of pixels, to the page's trim box", async () => {
    put(
      "drawn.ps",
      `%!PS
<< /PageSize [144 108] >> setpagedevice
true setoverprint
[/Separation (Ember Red/2) /DeviceRGB {1 exch sub dup dup}] setcolorspace 0.5 setcolor 10 10 50 40 rectfill
[/Separation (black) /DeviceRGB {1 exch sub dup dup}] setcolorspace 1 setcolor 72 54 30 0 360 arc fill
showpage
`,
    );
    run(
      "gs",
      ["-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-o", "drawn.pdf", "drawn.ps"],
      folder,
    );
    const file = `${folder}/drawn.pdf`;
    const size = { width: 288, height: 216 };
    const red = await plateOf(file, { colorant: "Ember Red/2" }, size);
    const mean = (tones: Uint8Array) => tones.reduce((sum, v) => sum + v, 0) / (255 * tones.length);
    expect(mean(red.tones)).toBeCloseTo((0.5 * 50 * 40) / (144 * 108), 3);
    expect(Math.abs(red.tones[(216 - 2 * 30) * 288 + 2 * 35]! - 127.5)).toBeLessThan(1);
    const sky = await plateOf(file, { colorant: "black" }, size);
    // A renderer fills every pixel that a shape touches, a quarter of one here.
    expect(mean(sky.tones)).toBeCloseTo((Math.PI * 900) / (144 * 108), 2);
    const doc = await PDFDocument.load(readFileSync(file));
    doc.getPage(0).setTrimBox(42, 24, 60, 60);
    const trimmed = put("trimmed.pdf", await doc.save());
    const square = await plateOf(trimmed, { colorant: "black" }, { width: 120, height: 120 });
    expect(mean(square.tones)).toBeCloseTo(Math.PI / 4, 2);
  });
});

describe("a PDF that is no plate, or not to be trusted", () => {
  it("is told in one line", async () => {
    expect(await problem(put("none.pdf", await pdf("", [])))).toBe(
      "the PDF has no separations; is it the artwork?",
    );
    expect(await problem(put("cut.pdf", "%PDF-1.7\n1 0 obj\n<<"))).toMatch(
      /^the PDF is damaged \(.+\); export or copy it again$/,
    );
    const locked = await PDFDocument.load(await pdf(`${WHOLE} /I0 Do Q`, [flate(["Ember"], ramp(0))]));
    locked.encrypt({ userPassword: "a", ownerPassword: "b" });
    expect(await problem(put("locked.pdf", await locked.save()))).toBe(
      "the PDF is locked by a password; ask for one without",
    );
    const short = put(
      "short.pdf",
      await pdf(`${WHOLE} /I0 Do Q`, [flate(["Ember"], ramp(0).subarray(0, 90))]),
    );
    expect(await problem(short)).toMatch(
      /^the picture is damaged or cut short \(a picture in the PDF is cut short\)/,
    );
  });

  it("does not grow without end: streams of objects, pictures, content, forms within forms", async () => {
    const zeros = deflateSync(new Uint8Array(160 * 1024 * 1024), { level: 9 });
    const stream = (dict: string) =>
      Buffer.concat([
        Buffer.from(
          `%PDF-1.7\n1 0 obj\n<< ${dict} /Filter /FlateDecode /Length ${zeros.length} >>\nstream\n`,
        ),
        zeros,
        Buffer.from("\nendstream\nendobj\n"),
      ]);
    expect(await problem(put("objects.pdf", stream("/Type /ObjStm /N 1 /First 5")))).toBe(
      "the PDF holds more than can be read; save its plates alone",
    );
    const grown = put("grown.pdf", await pdf(`${WHOLE} /I0 Do Q`, [{ inks: ["Ember"], samples: zeros }]));
    expect(await problem(grown)).toMatch(/^the picture is damaged or cut short/);
    const wide = put(
      "wide.pdf",
      await pdf(`${WHOLE} /I0 Do Q`, [flate(["Ember"], ramp(0), { Width: 30_000, Height: 20_000 })]),
    );
    expect(await problem(wide)).toBe(
      "the file has 30000 × 20000 pixels (600.0 Mpx), the limit is 400.0 Mpx; save it at a lower resolution",
    );
    const dense = await pdf(`q 0.001 0 0 0.001 9 9 cm /I0 Do Q`, [flate(["Ember"], ramp(0))]);
    expect((await plateOf(put("dense.pdf", dense))).size).toEqual({ width: 300, height: 200 });
    const loop = await pdf("/Self Do", [flate(["Ember"], ramp(0))], (doc) => {
      const { context } = doc;
      const form = context.nextRef();
      const own = context.obj({ XObject: { Self: form } });
      const head = context.obj({ Subtype: "Form", BBox: [0, 0, 72, 48], Resources: own, Length: 26 });
      context.assign(form, PDFRawStream.of(head, Buffer.from("/Self Do /Self Do /Self Do")));
      doc.getPage(0).node.set(PDFName.of("Resources"), own);
    });
    expect(await problem(put("loop.pdf", loop))).toBe("the PDF has no separations; is it the artwork?");
  });
});
