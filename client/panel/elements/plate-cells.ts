import { html, nothing } from "lit";
import { areaText, lengthIn, lengthText, perInchText } from "../../../server/language/words.ts";
import type { JobPlate, PanelJob } from "../../../server/wire/panel.ts";
import type { Probe } from "../probe.ts";
import type { Store } from "../store.ts";
import { inkOf } from "../view.ts";
import "./plate-thumbnail.ts";
import { styled } from "./styled.ts";
import { percentText, rulingText } from "./wording.ts";

/** What a station's row says of its plate: picture, name and ink, mesh and screen, coverage or the tone under the pointer. */
export function plateCells(
  store: Store,
  job: PanelJob,
  plate: JobPlate,
  station: number,
  folded: readonly string[],
  probe: Probe | undefined,
) {
  const { name } = plate;
  const figures = store.figures.get(name);
  const ink = inkOf(job, name);
  const tone = probe?.tones.get(name);
  const { screening, meshCount } = plate;
  const mesh = meshCount === undefined ? undefined : `mesh ${perInchText(meshCount, job.unit)}`;
  const screen =
    screening.method === "am"
      ? `${rulingText(screening.rulingLpi, job.unit)} ${screening.angle}°`
      : screening.method;
  const { coverage } = figures ?? {};
  const more =
    figures && store.placed
      ? `coverage: mean tone over the whole print; ink ${areaText(figures.coverage * job.widthMm * store.placed.heightMm, job.unit)}, film ${lengthIn(figures.filmMm.width, job.unit)} × ${lengthText(figures.filmMm.height, job.unit)}`
      : "";
  return html`<plate-thumbnail .store=${store} .plate=${name} .edition=${store.renderer.picture("now")?.keys.plates[name]}></plate-thumbnail>
    <span class="names">
      <span class="name"><span class="unseen">Station ${station + 1}: plate </span>${name}${folded.length > 0 ? html`<span class="quiet"> with ${folded.join(", ")}</span>` : nothing}</span>
      <span class="ink quiet"><span class="swatch" ${styled({ background: ink?.hex ?? "none" })}></span><span class="unseen">ink </span><span class="of">${plate.ink}</span></span>
    </span>
    <span class="screen quiet figures"><span>${mesh ?? nothing}</span><span>${screen}</span></span>
    <span class="amounts figures" title=${tone === undefined ? more : "tone under the pointer"}>
      <span class="tone"><span class="unseen">${tone === undefined ? "coverage" : "tone"}</span>
        ${tone === undefined ? (coverage === undefined ? "" : percentText(coverage)) : html`<b>${Math.round(tone * 100)} %</b>`}</span>
      <span class="bar"><span ${styled({ width: `${100 * (tone ?? coverage ?? 0)}%`, background: ink?.hex ?? "none" })}></span></span>
    </span>`;
}
