import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { mixingBands } from "../../../server/engine/print/bands.ts";
import {
  type FabricColour,
  filmOf,
  type InkFilm,
  substrateOf,
} from "../../../server/engine/print/ink-film.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { mixInFull, neugebauerPrimaries } from "../../../server/engine/print/neugebauer-primaries.ts";

describe("an ink that discharges", () => {
  const black = labFromBytes(23, 23, 26);
  const beige = labFromBytes(217, 207, 180);
  const garment = { ...black, discharged: beige };
  const film = { colour: labFromBytes(216, 67, 31), opacity: 0.5 };
  const discharge: InkFilm = { ...film, discharges: true };
  const under = { colour: labFromBytes(246, 245, 241), opacity: 0.9 };
  const colours = (onGarment: FabricColour, films: readonly InkFilm[], areas: readonly number[]) => {
    const model = preparePrint(
      { garment: onGarment, n: 1, compensated: false, smallestDot: 0 },
      films.map((one) => ({ ink: one })),
    );
    const out = new Uint8Array(3);
    const tones = areas.map((area) => Uint8Array.of(Math.round(area * 255)));
    model.print(tones, 0, 1, out);
    return { fast: [...out], full: model.colour(areas) };
  };

  it("prints as on garments of the colour that it leaves", () => {
    expect(colours(garment, [discharge], [1])).toEqual(colours(beige, [film], [1]));
  });

  it("leaves the garment between its dots as it was", () => {
    expect(colours(garment, [discharge], [0])).toEqual(colours(black, [film], [0]));
    const [solid, bare, half] = [1, 0, 0.5].map((area) => colours(garment, [discharge], [area]).full);
    expect(half!.r).toBeCloseTo((solid!.r + bare!.r) / 2, 9);
  });

  it("is an ink as any other on a garment that keeps its dye, and over another film", () => {
    expect(colours(black, [discharge], [1])).toEqual(colours(black, [film], [1]));
    expect(colours(garment, [under, discharge], [1, 1])).toEqual(colours(black, [under, film], [1, 1]));
  });

  it("leaves its colour to what is printed on it, discharge or not", () => {
    expect(colours(garment, [discharge, under, discharge], [1, 1, 1])).toEqual(
      colours(beige, [film, under, film], [1, 1, 1]),
    );
  });

  it("takes no dye where nobody says which colour it leaves", () => {
    const [taking, plain] = [filmOf(discharge), filmOf(film)];
    const [bands, ground] = [mixingBands(1), substrateOf(black)];
    expect(neugebauerPrimaries(ground, [taking], bands, 1)).toEqual(
      neugebauerPrimaries(ground, [plain], bands, 1),
    );
    expect(mixInFull(ground, [taking], [0.5], bands, 1)).toEqual(mixInFull(ground, [plain], [0.5], bands, 1));
  });
});
