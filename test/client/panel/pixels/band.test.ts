import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Band } from "../../../../client/panel/pixels/band.ts";
import {
  type PrintingStation,
  type RenderRequest,
  type Rows,
  render,
} from "../../../../client/panel/pixels/render.ts";
import { differenceOf } from "../../../../server/wire/tone-difference.ts";
import { random } from "../../../property.ts";

/** Some blocks and a bit. */
const COUNT = 256 * 40 + 77;
const NAMES = ["a", "b", "c"] as const;
const INKS = [
  { colour: { L: 56, a: 56, b: 56 }, opacity: 0.7 },
  { colour: { L: 46, a: -10, b: -42 }, opacity: 0.6 },
];

/** Where the band begins in the whole picture, of which it is a part. */
const FROM = 1003;
const LENGTH = FROM + COUNT + 777;

/** A whole plate: ink in a stretch of it, clear elsewhere. */
function stretch(seed: number): Uint8Array {
  const next = random(seed);
  const [from, length] = [Math.floor(next() * LENGTH), Math.floor(next() * 3000)];
  return Uint8Array.from({ length: LENGTH }, (_, i) =>
    i >= from && i < from + length ? 1 + ((i * 7) % 255) : 0,
  );
}

/** The band's tones of a whole plate. */
const within = (plate: Uint8Array) => plate.slice(FROM, FROM + COUNT);

const artwork = Uint8Array.from({ length: COUNT * 4 }, (_, i) => (i % 4 === 3 ? 255 : (i * 13) & 255));
const returned = fc.boolean();
const step = fc.oneof(
  fc.record({
    kind: fc.constant("plate" as const),
    whole: fc.boolean(),
    name: fc.constantFrom(...NAMES),
    seed: fc.integer({ min: 0, max: 2 }),
  }),
  fc.record({ kind: fc.constant("drop" as const), name: fc.constantFrom(...NAMES) }),
  fc.record({ kind: fc.constant("prepare" as const) }),
  // The same picture once more: what most edits ask for.
  fc.record({ kind: fc.constant("again" as const), returned }),
  fc.record({
    kind: fc.constant("render" as const),
    returned,
    slot: fc.constantFrom("main", "sheet"),
    garment: fc.constantFrom(10, 90),
    stations: fc.uniqueArray(
      fc.record({
        plate: fc.constantFrom(...NAMES),
        ink: fc.constantFrom(...INKS),
      }) as fc.Arbitrary<PrintingStation>,
      { selector: ({ plate }) => plate },
    ),
  }),
);

type Render = Extract<typeof step extends fc.Arbitrary<infer T> ? T : never, { kind: "render" }>;

function requestOf({ garment, stations }: Render): RenderRequest {
  return {
    kind: "proof",
    source: "now",
    conditions: { garment: { L: garment, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
    stations,
  };
}

/** As it arrives at another thread: it is gone here. */
function transferred(rgba: Uint8ClampedArray<ArrayBuffer>): Uint8ClampedArray<ArrayBuffer> {
  return structuredClone(rgba, { transfer: [rgba.buffer] });
}

function same(a: Uint8ClampedArray | undefined, b: Uint8ClampedArray | undefined): boolean {
  return a !== undefined && b !== undefined && Buffer.compare(Buffer.from(a), Buffer.from(b)) === 0;
}

describe("a band", () => {
  it("that prints only what changed gives what printing all of it gives, whatever came before", () => {
    fc.assert(
      fc.property(fc.array(step, { minLength: 2, maxLength: 24 }), (steps) => {
        const band = new Band();
        const sent = new Map<string, Uint8Array>();
        const plates = new Map<string, Uint8Array>();
        const rows: Rows = { width: COUNT, artwork, plates };
        let latest: Render | undefined;
        band.setArtwork("now", COUNT, artwork);
        for (const one of steps) {
          if (one.kind === "plate") {
            const [before, now] = [sent.get(one.name), stretch(one.seed)];
            sent.set(one.name, now);
            plates.set(one.name, within(now));
            if (before && !one.whole)
              band.changePlate("now", one.name, differenceOf(before, now, LENGTH)!, FROM, LENGTH);
            else band.setPlate("now", one.name, within(now));
          } else if (one.kind === "drop") {
            sent.delete(one.name);
            plates.delete(one.name);
            band.drop("now", one.name);
          } else if (one.kind === "prepare") band.prepare("now");
          else {
            if (one.kind === "render") latest = one;
            if (!latest) continue;
            const request = requestOf(latest);
            const made = band.render(latest.slot, request);
            const whole = render(request, () => rows)?.rgba;
            expect(same(made?.rgba, whole)).toBe(true);
            if (one.returned && made?.returnAs !== undefined)
              band.returned(made.returnAs, transferred(made.rgba));
          }
        }
      }),
      { seed: 20_050_101, numRuns: 500 },
    );
  });

  it("follows a plate there, back, and there again", () => {
    const band = new Band();
    band.setArtwork("now", COUNT, artwork);
    const request: RenderRequest = requestOf({
      kind: "render",
      returned: false,
      slot: "main",
      garment: 10,
      stations: [{ plate: "a", ink: INKS[0]! }] as PrintingStation[],
    });
    let before: Uint8Array | undefined;
    for (const seed of [0, 1, 0, 1, 2, 0]) {
      const plate = stretch(seed);
      const tones = within(plate);
      if (before) band.changePlate("now", "a", differenceOf(before, plate, LENGTH)!, FROM, LENGTH);
      else band.setPlate("now", "a", tones.slice());
      before = plate;
      const whole = render(request, () => ({ width: COUNT, artwork, plates: new Map([["a", tones]]) }));
      expect(same(band.render("main", request)?.rgba, whole?.rgba), String(seed)).toBe(true);
    }
  });

  describe("transfers its composite", () => {
    const request: RenderRequest = {
      kind: "proof",
      source: "now",
      conditions: { garment: { L: 50, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
      stations: [],
    };
    const other: RenderRequest = {
      ...request,
      conditions: { ...request.conditions, garment: { L: 90, a: 0, b: 0 } },
    };

    function withArtwork(): Band {
      const band = new Band();
      band.setArtwork("now", COUNT, artwork);
      return band;
    }

    it("and writes to it no more before it has it back", () => {
      const band = withArtwork();
      const first = band.render("main", request)!.rgba;
      const before = first.slice();
      band.render("main", other);
      expect(same(first, before)).toBe(true);
      first.fill(0);
      expect(same(band.render("main", request)?.rgba, before)).toBe(true);
    });

    it("and makes the next one of it", () => {
      const band = withArtwork();
      const { returnAs, rgba } = band.render("main", request)!;
      band.returned(returnAs!, rgba);
      expect(band.render("main", other)?.rgba).toBe(rgba);
    });

    it("and takes none back that is not the latest", () => {
      const band = withArtwork();
      const early = band.render("main", other)!;
      const before = band.render("main", request)!.rgba;
      band.returned(early.returnAs!, early.rgba);
      expect(same(band.render("main", request)?.rgba, before)).toBe(true);
    });
  });

  it("takes no difference of a plate that it does not hold", () => {
    const band = new Band();
    band.setArtwork("now", COUNT, artwork);
    band.changePlate("now", "a", differenceOf(stretch(0), stretch(1), LENGTH)!, FROM, LENGTH);
    const film = band.render("main", { kind: "film", source: "now", plate: "a" })!;
    expect(film.rgba.every((v) => v === 0)).toBe(true);
  });

  it("takes no plate of a picture that it does not hold", () => {
    const band = new Band();
    band.setPlate("crop", "a", new Uint8Array(4));
    band.setArtwork("crop", 2, new Uint8Array(16));
    const film = band.render("main", { kind: "film", source: "crop", plate: "a" })!;
    expect(film.rgba).toEqual(new Uint8ClampedArray(16));
  });

  it("has nothing to show of a picture that is to be forgotten", () => {
    const band = new Band();
    for (const name of ["now", "before"] as const) band.setArtwork(name, 2, new Uint8Array(16));
    band.drop("now");
    const film = (source: "now" | "before") => band.render("main", { kind: "film", source, plate: "a" });
    expect([film("now"), film("before")?.rgba.length]).toEqual([undefined, 16]);
  });

  it("has nothing to show of a picture that it does not hold", () => {
    expect(new Band().render("main", { kind: "film", source: "before", plate: "a" })).toBeUndefined();
  });
});
