import { type SVGTemplateResult, svg } from "lit";
import type { Region } from "../../../server/engine/plan.ts";
import type { Viewport } from "../viewport.ts";

/** A region's edge in the window: a light line with a dark one around it, to be seen on any garment. */
export function outline(region: Region, viewport: Viewport, name: string): SVGTemplateResult {
  const x = (mm: number) => viewport.left + mm * viewport.scale;
  const y = (mm: number) => viewport.top + mm * viewport.scale;
  const edge = () => {
    switch (region.shape) {
      case "polygon": {
        const points = region.points.map((p) => `${x(p[0]).toFixed(1)},${y(p[1]).toFixed(1)}`).join(" ");
        return (line: string) => svg`<polygon class=${line} points=${points}></polygon>`;
      }
      case "rectangle": {
        const [left, top] = [Math.min(region.from[0], region.to[0]), Math.min(region.from[1], region.to[1])];
        const width = Math.abs(region.to[0] - region.from[0]) * viewport.scale;
        const height = Math.abs(region.to[1] - region.from[1]) * viewport.scale;
        return (line: string) =>
          svg`<rect class=${line} x=${x(left)} y=${y(top)} width=${width} height=${height}></rect>`;
      }
      case "ellipse":
        return (line: string) =>
          svg`<ellipse class=${line} cx=${x(region.centre[0])} cy=${y(region.centre[1])}
            rx=${region.radii[0] * viewport.scale} ry=${region.radii[1] * viewport.scale}></ellipse>`;
    }
  };
  const draw = edge();
  return svg`<g class="region" data-region=${name}>${draw("under")}${draw("over")}</g>`;
}
