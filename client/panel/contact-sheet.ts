import { areaText } from "../../server/language/words.ts";
import { percentText } from "./elements/wording.ts";
import type { Store } from "./store.ts";
import { inkOf } from "./view.ts";

/** Width of one plate on the sheet, in pixels. */
const CELL = 560;
const GAP = 40;
const LABEL = 76;

/** All plates of the recipe on one white sheet, each as its film with what prints it, as PNG. */
export async function sheetPng({ job, renderer, figures, placed }: Store): Promise<Uint8Array | undefined> {
  const picture = renderer.picture("now");
  const plates = job?.plates.filter(({ name }) => picture?.plates.has(name)) ?? [];
  if (!job || !picture || plates.length === 0) return undefined;
  const columns = Math.ceil(Math.sqrt(plates.length));
  const rows = Math.ceil(plates.length / columns);
  const height = Math.round((CELL * picture.height) / picture.width);
  const canvas = new OffscreenCanvas(GAP + columns * (CELL + GAP), GAP + 50 + rows * (height + LABEL + GAP));
  const context = canvas.getContext("2d")!;
  context.fillStyle = "#fff";
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.fillStyle = "#000";
  context.font = "600 30px system-ui, sans-serif";
  context.fillText(job.title, GAP, GAP + 24);
  for (const [i, { name, ink, purpose }] of plates.entries()) {
    const x = GAP + (i % columns) * (CELL + GAP);
    const y = GAP + 50 + Math.floor(i / columns) * (height + LABEL + GAP);
    const film = await createImageBitmap(filmOf(picture.plates.get(name)!, picture.width, picture.height));
    context.drawImage(film, x, y, CELL, height);
    film.close();
    context.strokeStyle = "#888";
    context.strokeRect(x - 0.5, y - 0.5, CELL + 1, height + 1);
    context.fillStyle = inkOf(job, name)?.hex ?? "#fff";
    context.fillRect(x, y + height + 14, 44, 44);
    context.strokeRect(x + 0.5, y + height + 14.5, 43, 43);
    context.fillStyle = "#000";
    context.font = "600 24px system-ui, sans-serif";
    context.fillText(name, x + 58, y + height + 34, CELL - 58);
    context.font = "20px system-ui, sans-serif";
    const known = figures.get(name);
    const ink2 = (known?.coverage ?? 0) * job.widthMm * (placed?.heightMm ?? 0);
    const amounts = known
      ? `, coverage ${percentText(known.coverage)}, ink area ${areaText(ink2, job.unit)}`
      : "";
    context.fillText(`ink ${ink}, ${purpose}${amounts}`, x + 58, y + height + 60, CELL - 58);
  }
  const blob = await canvas.convertToBlob({ type: "image/png" });
  return new Uint8Array(await blob.arrayBuffer());
}

/** Black where ink is, white where the film is clear. */
function filmOf(tones: Uint8Array, width: number, height: number): ImageData {
  const image = new ImageData(width, height);
  for (let i = 0; i < tones.length; i++) {
    image.data.fill(255 - tones[i]!, i * 4, i * 4 + 3);
    image.data[i * 4 + 3] = 255;
  }
  return image;
}
