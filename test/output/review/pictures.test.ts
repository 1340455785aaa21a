import sharp from "sharp";
import { describe, expect, it } from "vitest";
import {
  FULL_DELTA,
  LESS,
  MORE,
  MOVED,
  platePictures,
  proofPictures,
} from "../../../server/output/review/pictures.ts";
import type { Print } from "../../../server/render/print.ts";
import { print, printWhere, RECIPE } from "../../render/small-prints.ts";

/** A picture's pixels by column, in its upper row. */
async function columns(uri: string | undefined) {
  const [, base64] = /^data:image\/png;base64,(.*)$/.exec(uri!)!;
  const png = sharp(Buffer.from(base64!, "base64"));
  const { data, info } = await png.toColourspace("srgb").raw().toBuffer({ resolveWithObject: true });
  const { width, height, channels } = info;
  return { width, height, at: (x: number) => [...data.subarray(x * channels, x * channels + 3)] };
}

const grey = (v: number) => [v, v, v];

describe("pictures of a plate", () => {
  it("are films: black is ink", async () => {
    const { before, after, width, height } = await platePictures(await print(5), await print(9), "ember");
    expect([width, height]).toEqual([20, 10]);
    const [was, is] = [await columns(before), await columns(after)];
    expect([was.width, was.height]).toEqual([20, 10]);
    const [black, white] = [grey(0), grey(255)];
    expect([was.at(4), was.at(5), is.at(8), is.at(9)]).toEqual([black, white, black, white]);
  });

  it("differ in one colour where ink came and in another where it went; all else is pale", async () => {
    const [few, many] = [await print(5), await print(9)];
    const came = await columns((await platePictures(few, many, "ember")).difference);
    const went = await columns((await platePictures(many, few, "ember")).difference);
    // Solid ink is a sixth darker than none.
    const [ink, none] = [grey(209), grey(250)];
    expect([3, 6, 12].map(came.at)).toEqual([ink, [...MORE], none]);
    expect([3, 6, 12].map(went.at)).toEqual([ink, [...LESS], none]);
  });

  it("show a difference of an eighth at half strength", async () => {
    const [one, other] = [await print(5), await print(5)];
    const plate = other.plates.get("ember")!;
    const moved = { ...plate, tones: plate.tones.map((tone) => (tone === 0 ? 32 : tone)) };
    const plates = new Map([...other.plates, ["ember", moved]]);
    const { difference } = await platePictures(
      one,
      { ...partsOf(other), plates } as unknown as Print,
      "ember",
    );
    const share = (32 / 255) * 4;
    const ground = 250 - 32 * 0.16;
    expect((await columns(difference)).at(12)).toEqual(
      MORE.map((band) => Math.floor(ground + (band - ground) * share)),
    );
  });

  it("are none of a plate that one print does not have, and its ink came or went as a whole", async () => {
    const without = RECIPE.replace(/ {2}ember: \{ ink.*\n/, "").replace("flash, ember", "flash");
    const came = await platePictures(await print(5, without), await print(5), "ember");
    expect([came.before, typeof came.after]).toEqual([undefined, "string"]);
    const more = await columns(came.difference);
    expect([more.at(2), more.at(12)]).toEqual([[...MORE], grey(250)]);
    const went = await platePictures(await print(5), await print(5, without), "ember");
    expect([typeof went.before, went.after]).toEqual(["string", undefined]);
    const gone = await columns(went.difference);
    expect([gone.at(2), gone.at(12)]).toEqual([[...LESS], grey(250)]);
  });

  it("lie on one another where resolutions differ", async () => {
    const fine = await printWhere((x) => x < 9, { scale: 2 });
    const { difference } = await platePictures(await print(9), fine, "ember");
    const { width, at } = await columns(difference);
    expect([width, at(17), at(18)]).toEqual([40, grey(209), grey(250)]);
  });

  it("are no wider than they are shown, and one row at least", async () => {
    const large = await printWhere((x) => x < 9, { scale: 50, heightMm: 0.2 });
    const plate = await platePictures(large, large, "ember");
    expect([plate.width, plate.height]).toEqual([440, 4]);
    expect(await columns(plate.after)).toMatchObject({ width: 440, height: 4 });
    const proof = await proofPictures(large, large, "black", "dark");
    expect([proof.width, proof.height]).toEqual([640, 6]);
    expect(await columns(proof.difference)).toMatchObject({ width: 640, height: 6 });
    const thin = await printWhere(() => true, { scale: 50, heightMm: 0.02 });
    expect(await platePictures(thin, thin, "ember")).toMatchObject({ width: 440, height: 1 });
  });
});

/** What pictures look at of a print. */
function partsOf({ recipe, artwork, picture, pixels }: Print) {
  return { recipe, artwork, picture, pixels };
}

describe("pictures of a proof", () => {
  it("are the proofs, and pale where nothing moved, by how light the print is there", async () => {
    const [few, many] = [await print(5), await print(9)];
    const { before, after, difference } = await proofPictures(few, many, "black", "dark");
    const [was, is, moved] = [await columns(before), await columns(after), await columns(difference)];
    const proof = many.proof("black", "dark");
    expect([2, 6, 12].map(is.at)).toEqual([2, 6, 12].map((x) => [...proof.subarray(3 * x, 3 * x + 3)]));
    expect(was.at(6)).toEqual([...few.proof("black", "dark").subarray(18, 21)]);
    for (const x of [2, 12]) {
      const [r, g, b] = is.at(x) as [number, number, number];
      expect(moved.at(x)).toEqual(grey(Math.floor(205 + Math.floor((2 * r + 5 * g + b) / 8) * 0.18)));
    }
    // Far more than is shown at full strength, from the first column that changed to the last.
    for (const x of [5, 6, 8]) expect(moved.at(x)).toEqual([...MOVED]);
    for (const x of [4, 9]) expect(new Set(moved.at(x)).size).toBe(1);
  });

  it("show half of the full difference at half strength", async () => {
    const [one, other] = [await print(5), await print(5)];
    // Greys of L* 50 and 55, about ΔE00 5 apart.
    const proofs = [119, 131].map((v) => new Uint8Array(600).fill(v));
    const shown = ({ recipe, picture, pixels }: Print, i: number) =>
      ({ recipe, picture, pixels, proof: () => proofs[i] }) as unknown as Print;
    const { difference } = await proofPictures(shown(one, 0), shown(other, 1), "black", "dark");
    const ground = 205 + 131 * 0.18;
    const [, g] = (await columns(difference)).at(0);
    const share = (ground - g!) / (ground - MOVED[1]);
    expect(share * FULL_DELTA).toBeGreaterThan(4);
    expect(share * FULL_DELTA).toBeLessThan(5.5);
  });

  it("are none of a garment that one print does not have", async () => {
    const white = RECIPE.replace(
      "setups:\n",
      "setups:\n  light: { garments: [white], order: [ember] }\n",
    ).replace('"#17171a" }', '"#17171a" }, white: { colour: "#ffffff" }');
    const came = await proofPictures(await print(5), await print(5, white), "white", "light");
    expect([came.before, typeof came.after, came.difference]).toEqual([undefined, "string", undefined]);
    const went = await proofPictures(await print(5, white), await print(5), "white", "light");
    expect([typeof went.before, went.after, went.difference]).toEqual(["string", undefined, undefined]);
  });
});
