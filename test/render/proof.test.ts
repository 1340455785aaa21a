import { describe, expect, it } from "vitest";
import { makeProof } from "../../server/render/proof.ts";
import { makePlates } from "../../server/render/separation.ts";
import { artworkOf, recipeOf } from "./jobs.ts";

const RED = [0xd8, 0x43, 0x1f, 255];
const WHITE = [255, 255, 255, 255];
const CLEAR = [0, 0, 0, 0];
const artwork = artworkOf([RED, WHITE, CLEAR]);
const recipe = recipeOf({});

async function platesOf(onProgress?: (done: number) => void) {
  const plates = new Map<string, Uint8Array>();
  for await (const { name, tones } of makePlates(recipe, artwork, onProgress)) plates.set(name, tones);
  return plates;
}

describe("plates", () => {
  it("carry ink where their part of the artwork is, each by its name", async () => {
    expect(Object.fromEntries(await platesOf())).toEqual({
      base: Uint8Array.of(255, 255, 0),
      ember: Uint8Array.of(255, 0, 0),
    });
  });

  it("tell how much is done, rising to the whole", async () => {
    const shares: number[] = [];
    await platesOf((done) => void shares.push(done));
    expect(shares.length).toBeGreaterThan(1);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect([shares[0]! >= 0, shares.at(-1)]).toEqual([true, 1]);
  });

  it("wait for a host that takes its time", async () => {
    let waiting = 0;
    let seen = 0;
    for await (const _ of makePlates(recipe, artwork, async () => {
      waiting++;
      await new Promise((done) => setTimeout(done, 1));
      waiting--;
    })) {
      expect(waiting).toBe(0);
      seen++;
    }
    expect(seen).toBe(2);
  });

  it("can be given up at any moment, and made again from the same artwork", async () => {
    const before = artwork.picture.data.slice();
    const whole = await platesOf();
    const shares: number[] = [];
    await platesOf((done) => void shares.push(done));
    for (const [i] of shares.entries()) {
      let calls = 0;
      const cancelled = platesOf(() => {
        if (calls++ === i) throw new Error("enough");
      });
      await expect(cancelled).rejects.toThrow("enough");
    }
    expect(artwork.picture.data).toEqual(before);
    expect(await platesOf()).toEqual(whole);
  });
});

describe("a proof", () => {
  const setup = recipe.setups.get("dark")!;
  const upTo = (stations: number | undefined) => ({ ...setup, order: setup.order.slice(0, stations) });
  const pixels = async (stations: number | undefined, garment = "black") => {
    const { rgb } = await makeProof(recipe, artwork, garment, upTo(stations), await platesOf());
    return [0, 1, 2].map((i) => [...rgb.subarray(i * 3, i * 3 + 3)]);
  };
  const garment = [0x17, 0x17, 0x1a];
  const near = (colour: readonly number[]) => colour.slice(0, 3).map((v) => expect.closeTo(v, -0.8));

  it("shows the inks where they print, and the garment elsewhere", async () => {
    expect(await pixels(undefined)).toEqual([near(RED), near(WHITE), near(garment)]);
  });

  it("after no station is the garment", async () => {
    expect(await pixels(0)).toEqual([near(garment), near(garment), near(garment)]);
  });

  it("after the first station is the underbase, and a flash adds nothing", async () => {
    expect(await pixels(1)).toEqual([near(WHITE), near(WHITE), near(garment)]);
    expect(await pixels(2)).toEqual(await pixels(1));
  });

  it("after the last station is the whole print", async () => {
    expect(await pixels(3)).toEqual(await pixels(undefined));
  });

  it("is on the garment asked for", async () => {
    expect((await pixels(0, "white"))[2]).toEqual(near(WHITE));
  });

  it("is measured against the artwork, where the artwork is", async () => {
    const plates = await platesOf();
    const printed = await makeProof(recipe, artwork, "black", setup, plates);
    const bare = await makeProof(recipe, artwork, "black", upTo(0), plates);
    expect(printed.difference).toMatchObject({ pixels: 2 });
    expect(printed.difference.mean).toBeLessThan(1);
    expect(bare.difference.mean).toBeGreaterThan(40);
  });

  it("tells how much is done, to the whole, and can be given up", async () => {
    const plates = await platesOf();
    const shares: number[] = [];
    const run = (onProgress: (done: number) => void) =>
      makeProof(recipe, artwork, "black", setup, plates, onProgress);
    await run((done) => void shares.push(done));
    expect(shares).toEqual([1]);
    await expect(
      run(() => {
        throw new Error("enough");
      }),
    ).rejects.toThrow("enough");
  });
});
