/** Develops some rows of every picture that the page holds; the page has a few of these, a band of rows each. */
import { develop, type Rows, type SetName, type Shot } from "./shot.ts";

export type ToWorker =
  | { readonly kind: "artwork"; readonly set: SetName; readonly width: number; readonly bytes: Uint8Array }
  | { readonly kind: "plate"; readonly set: SetName; readonly name: string; readonly bytes: Uint8Array }
  | { readonly kind: "drop"; readonly set: SetName; readonly name?: string }
  | { readonly kind: "shoot"; readonly id: number; readonly shot: Shot };

export interface FromWorker {
  readonly id: number;
  /** Undefined where there is no such picture. */
  readonly rgba?: Uint8ClampedArray<ArrayBuffer>;
  readonly counts?: Uint32Array<ArrayBuffer>;
}

const sets = new Map<SetName, Rows & { readonly plates: Map<string, Uint8Array> }>();

self.addEventListener("message", ({ data }: MessageEvent<ToWorker>) => {
  switch (data.kind) {
    case "artwork":
      sets.set(data.set, { width: data.width, artwork: data.bytes, plates: new Map() });
      break;
    case "plate":
      sets.get(data.set)?.plates.set(data.name, data.bytes);
      break;
    case "drop":
      if (data.name === undefined) sets.delete(data.set);
      else sets.get(data.set)?.plates.delete(data.name);
      break;
    case "shoot": {
      const developed = develop(data.shot, (set) => sets.get(set));
      const answer: FromWorker = { id: data.id, ...developed };
      const buffers = [developed?.rgba.buffer, developed?.counts?.buffer].filter(
        (buffer) => buffer !== undefined,
      );
      self.postMessage(answer, { transfer: buffers });
    }
  }
});
