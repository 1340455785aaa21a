import type { RenderedPicture } from "../pixels/renderer.ts";

/** Puts a rendered picture on a canvas. */
export function paint(canvas: HTMLCanvasElement, picture: RenderedPicture): void {
  if (canvas.width !== picture.width) canvas.width = picture.width;
  if (canvas.height !== picture.height) canvas.height = picture.height;
  const context = canvas.getContext("2d");
  for (const { y, data } of picture.bands) context?.putImageData(data, 0, y);
}
