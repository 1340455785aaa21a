/** Develops some rows of every picture that the page holds; the page has a few of these, a band of rows each. */
import { Band } from "./band.ts";
import { type Developed, type Printed, type SetName, type Shot, warm } from "./shot.ts";

export type ToWorker =
  | { readonly kind: "artwork"; readonly set: SetName; readonly width: number; readonly bytes: Uint8Array }
  | { readonly kind: "plate"; readonly set: SetName; readonly name: string; readonly bytes: Uint8Array }
  | { readonly kind: "warm"; readonly printed: Printed }
  | { readonly kind: "drop"; readonly set: SetName; readonly name?: string }
  | { readonly kind: "shoot"; readonly id: number; readonly slot: string; readonly shot: Shot }
  | { readonly kind: "giveBack"; readonly loan: number; readonly rgba: Uint8ClampedArray<ArrayBuffer> };

/** Nothing is developed where there is no such picture. */
export interface FromWorker extends Partial<Developed> {
  readonly id: number;
}

const band = new Band();
/** While plates change one after the other, every list of combinations would be out of date at once. */
const REST_MS = 1000;
let resting: ReturnType<typeof setTimeout> | undefined;

self.addEventListener("message", ({ data }: MessageEvent<ToWorker>) => {
  switch (data.kind) {
    case "artwork":
      band.setArtwork(data.set, data.width, data.bytes);
      break;
    case "plate":
      band.setPlate(data.set, data.name, data.bytes);
      if (data.set !== "now") break;
      clearTimeout(resting);
      resting = setTimeout(() => band.prepare("now"), REST_MS);
      break;
    case "warm":
      warm(data.printed);
      break;
    case "drop":
      band.drop(data.set, data.name);
      break;
    case "giveBack":
      band.giveBack(data.loan, data.rgba);
      break;
    case "shoot": {
      const developed = band.shoot(data.slot, data.shot);
      const answer: FromWorker = { id: data.id, ...developed };
      const buffers = [developed?.rgba.buffer, developed?.counts?.buffer].filter(
        (buffer) => buffer !== undefined,
      );
      self.postMessage(answer, { transfer: buffers });
    }
  }
});
