import { MM_PER_INCH } from "../../server/engine/units.ts";
import { type DotPlate, Dots, type FilmSize, type LoupeArea, printDots } from "./pixels/dots.ts";
import { filmColour } from "./pixels/film.ts";
import type { PlateShifts } from "./register-shift.ts";
import type { Store } from "./store.ts";
import { shownPlate, shownProof } from "./view.ts";

/** The size of the films of what is shown; undefined while there is no picture. */
export function filmSize({ job, placed }: Store): FilmSize | undefined {
  if (!job || !placed) return undefined;
  const perMm = job.filmDpi / MM_PER_INCH;
  return {
    dpi: job.filmDpi,
    width: Math.max(1, Math.round(job.widthMm * perMm)),
    height: Math.max(1, Math.round(placed.heightMm * perMm)),
  };
}

/** Squares of the films of what is shown, printed in order, each plate as far off as the shifts say. */
export class FilmDots {
  readonly #dots = new Dots();

  /** Draws a square in film pixels into an RGBA picture of that size. */
  draw(store: Store, area: LoupeArea, shifts: PlateShifts, rgba: Uint8ClampedArray): void {
    const { job, view, renderer } = store;
    const film = filmSize(store);
    const picture = renderer.picture("now");
    if (!job || !film || !picture) return;
    const perMm = film.dpi / MM_PER_INCH;
    const dotsOf = (name: string) => {
      const tones = picture.plates.get(name);
      const plate = job.plates.find((other) => other.name === name);
      if (!tones || !plate) return undefined;
      const dotted: DotPlate = { ...plate, key: picture.keys.plates[name], tones };
      const [dx, dy] = shifts.get(name) ?? [0, 0];
      const there = { ...area, x: area.x - Math.round(dx * perMm), y: area.y - Math.round(dy * perMm) };
      return this.#dots.of(dotted, picture.width, picture.height, film, there);
    };
    const alone = view.mode === "plate" ? shownPlate(job, view) : undefined;
    if (alone !== undefined && view.plateAs === "film") {
      const dots = dotsOf(alone);
      for (let i = 0; i * 4 < rgba.length; i++) rgba.set(filmColour(dots?.[i] ? 255 : 0), i * 4);
      return;
    }
    const proof = shownProof(job, view, "now");
    if (!proof) return;
    const stations = proof.stations.filter(({ plate }) => alone === undefined || plate === alone);
    printDots({ ...proof, stations }, dotsOf, rgba);
  }
}
