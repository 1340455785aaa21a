/** Renders some rows of every picture that the page holds; the page has a few of these, a band of rows each. */
import { Band } from "./band.ts";
import { type PictureName, type ProofSpec, type Rendered, type RenderRequest, warm } from "./render.ts";

/** What the page tells a worker. */
export type ToWorker =
  | {
      readonly kind: "artwork";
      readonly source: PictureName;
      readonly width: number;
      readonly bytes: Uint8Array;
    }
  | {
      readonly kind: "plate";
      readonly source: PictureName;
      readonly name: string;
      readonly bytes: Uint8Array;
    }
  /** A difference between whole plates of `length` tones, of which the worker's begin at `from`. */
  | {
      readonly kind: "plateDifference";
      readonly source: PictureName;
      readonly name: string;
      readonly bytes: Uint8Array;
      readonly from: number;
      readonly length: number;
    }
  | { readonly kind: "warm"; readonly proof: ProofSpec }
  | { readonly kind: "drop"; readonly source: PictureName; readonly name?: string }
  | { readonly kind: "render"; readonly id: number; readonly slot: string; readonly request: RenderRequest }
  | { readonly kind: "returned"; readonly returnAs: number; readonly rgba: Uint8ClampedArray<ArrayBuffer> };

/** Answers a request; without pixels where there is no such picture. */
export interface FromWorker extends Partial<Rendered> {
  readonly id: number;
}

const band = new Band();
/** While plates change one after the other, every list of combinations would be out of date at once. */
const REST_MS = 1000;
let resting: ReturnType<typeof setTimeout> | undefined;

self.addEventListener("message", ({ data }: MessageEvent<ToWorker>) => {
  switch (data.kind) {
    case "artwork":
      band.setArtwork(data.source, data.width, data.bytes);
      break;
    case "plate":
      band.setPlate(data.source, data.name, data.bytes);
      prepareLater(data.source);
      break;
    case "plateDifference":
      band.changePlate(data.source, data.name, data.bytes, data.from, data.length);
      prepareLater(data.source);
      break;
    case "warm":
      warm(data.proof);
      break;
    case "drop":
      band.drop(data.source, data.name);
      break;
    case "returned":
      band.returned(data.returnAs, data.rgba);
      break;
    case "render": {
      const rendered = band.render(data.slot, data.request);
      const answer: FromWorker = { id: data.id, ...rendered };
      const transfer = [rendered?.rgba.buffer, rendered?.tally?.counts.buffer].filter(
        (buffer) => buffer !== undefined,
      );
      self.postMessage(answer, { transfer });
    }
  }
});

function prepareLater(name: PictureName): void {
  if (name !== "now") return;
  clearTimeout(resting);
  resting = setTimeout(() => band.prepare("now"), REST_MS);
}
