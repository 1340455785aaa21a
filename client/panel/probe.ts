import type { Lab } from "../../server/engine/colour/cielab.ts";
import { PixelDifference } from "../../server/engine/print/difference.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import type { PanelJob, PrintPoint } from "../../server/wire/panel.ts";
import { colourAt } from "./pixels/render.ts";
import type { Renderer } from "./pixels/renderer.ts";
import { garmentOf, shownProof, type View } from "./view.ts";

/** What is at a point of the print. */
export interface Probe extends PrintPoint {
  /** 0xrrggbb: the artwork on the garment, and the proof. */
  readonly artwork: number;
  readonly proof: number;
  /** ΔE00 of the two. */
  readonly difference: number;
  readonly tones: ReadonlyMap<string, number>;
}

/** What is seen, and the point that is asked about. */
interface Seen {
  readonly job: PanelJob | undefined;
  readonly view: View;
  readonly placed: { readonly ppi: number } | undefined;
  readonly point: { readonly x: number; readonly y: number } | undefined;
  readonly renderer: Renderer;
}

/** Looks at points, and remembers differences from one to the next. */
export class Prober {
  #meter: { readonly garment: Lab; readonly meter: PixelDifference } | undefined;

  /** Colours and tones at the point; undefined off the print. */
  probe({ job, view, placed, point, renderer }: Seen): Probe | undefined {
    const picture = renderer.picture("now");
    if (!job || !placed || !point || !picture) return undefined;
    const x = Math.floor((point.x / MM_PER_INCH) * placed.ppi);
    const y = Math.floor((point.y / MM_PER_INCH) * placed.ppi);
    if (x < 0 || y < 0 || x >= picture.width || y >= picture.height) return undefined;
    const i = y * picture.width + x;
    const proof = shownProof(job, view, "now");
    const garment = garmentOf(job, view);
    if (!proof || !garment) return undefined;
    const [r, g, b, a] = picture.artwork.subarray(i * 4, i * 4 + 4) as unknown as [
      number,
      number,
      number,
      number,
    ];
    const meter = this.#meterFor(garment.colour);
    const artwork = meter.onGarment(picture.artwork, i);
    const printed = colourAt(picture, proof, i);
    return {
      ...point,
      rgba: [r, g, b, a],
      artwork,
      proof: printed,
      difference: meter.between(artwork, printed),
      tones: new Map([...picture.plates].map(([name, tones]) => [name, tones[i]! / 255])),
    };
  }

  #meterFor(garment: Lab): PixelDifference {
    if (this.#meter?.garment !== garment) this.#meter = { garment, meter: new PixelDifference(garment) };
    return this.#meter.meter;
  }
}
