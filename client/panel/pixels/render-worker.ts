/** Renders some rows of every picture that the page holds; the page has a few of these, a band of rows each. */
import { Band } from "./band.ts";
import type { Rendered, RenderRequest } from "./render.ts";

type Told = "setArtwork" | "setPlate" | "changePlate" | "drop" | "returned" | "warm";

/** A call of one of the band's methods; `render` alone is answered. */
export type ToWorker =
  | { [Method in Told]: { readonly call: Method; readonly args: Parameters<Band[Method]> } }[Told]
  | { readonly call: "render"; readonly args: readonly [slot: string, RenderRequest]; readonly id: number };

/** Answers a request; without pixels where there is no such picture. */
export interface FromWorker extends Partial<Rendered> {
  readonly id: number;
}

const band = new Band();
/** While plates change one after the other, every list of combinations would be out of date at once. */
const REST_MS = 1000;
let resting: ReturnType<typeof setTimeout> | undefined;

self.addEventListener("message", ({ data }: MessageEvent<ToWorker>) => {
  if (data.call === "render") {
    const rendered = band.render(...data.args);
    const answer: FromWorker = { id: data.id, ...rendered };
    const buffers = [rendered?.rgba.buffer, rendered?.tally?.counts.buffer];
    self.postMessage(answer, { transfer: buffers.filter((buffer) => buffer !== undefined) });
    return;
  }
  Reflect.apply(band[data.call], band, data.args);
  if ((data.call !== "setPlate" && data.call !== "changePlate") || data.args[0] !== "now") return;
  clearTimeout(resting);
  resting = setTimeout(() => band.prepare("now"), REST_MS);
});
