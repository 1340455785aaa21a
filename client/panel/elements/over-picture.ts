import { html, nothing, type SVGTemplateResult, svg, type TemplateResult } from "lit";
import type { Region } from "../../../server/engine/plan.ts";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import type { WorstPlace } from "../pixels/worst-places.ts";
import type { Store } from "../store.ts";
import type { Viewport } from "../viewport.ts";
import { outline } from "./outline.ts";

/** What is drawn over the picture: regions, the worst places with their numbers, and the pinned probe. */
export function overPicture(
  { job, place, placed, point, pinned }: Store,
  viewport: Viewport,
  drawn: Region | undefined,
  worst: readonly WorstPlace[],
): TemplateResult {
  const entry = job?.regions.find((region) => region.entry === place.region);
  const perPixel = placed ? (viewport.scale * MM_PER_INCH) / placed.ppi : 0;
  return html`<svg class="overlay" aria-hidden="true">
    ${entry ? outline(entry.region, viewport, String(entry.entry)) : nothing}
    ${drawn ? outline(drawn, viewport, "draft") : nothing}
    ${worst.map(({ x, y, side }, i) =>
      ring(viewport.left + x * perPixel, viewport.top + y * perPixel, Math.max(9, side * perPixel), i + 1),
    )}
    ${
      point && pinned
        ? crosshair(viewport.left + point.x * viewport.scale, viewport.top + point.y * viewport.scale)
        : nothing
    }
  </svg>`;
}

function ring(x: number, y: number, r: number, number: number): SVGTemplateResult {
  return svg`<g class="worst" transform=${`translate(${x} ${y})`}>
    <circle class="under" r=${r}></circle><circle class="over" r=${r}></circle>
    <text x=${r + 3} y="4">${number}</text>
  </g>`;
}

function crosshair(x: number, y: number): SVGTemplateResult {
  const lines = "M-14 0h9M5 0h9M0-14v9M0 5v9";
  return svg`<g class="cross" transform=${`translate(${x} ${y})`}><path class="under" d=${lines}></path><path class="over" d=${lines}></path></g>`;
}
