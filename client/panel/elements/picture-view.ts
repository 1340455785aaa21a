import { html, nothing, type PropertyValues, svg } from "lit";
import type { Point, Region } from "../../../server/engine/plan.ts";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import { sentence } from "../../../server/language/words.ts";
import type { PanelJob } from "../../../server/wire/panel.ts";
import type { Painted } from "../painted.ts";
import { scaleEnd, USUAL_END } from "../pixels/colour-scale.ts";
import type { RenderRequest } from "../pixels/render.ts";
import type { RenderedPicture } from "../pixels/renderer.ts";
import {
  closed,
  newDraft,
  type RegionDraft,
  type RegionShape,
  regionOf,
  withCorner,
} from "../region-draft.ts";
import type { PlacedPicture } from "../store.ts";
import { garmentOf, isSeenAsDots, requestOf, shownPlate, shownProof } from "../view.ts";
import { PRINT_SIZE, Viewport } from "../viewport.ts";
import { outline } from "./outline.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { pictureStyles } from "./picture-view.styles.ts";
import "./dot-loupe.ts";
import "./film-view.ts";
import "./picture-tools.ts";
import "./region-form.ts";
import "./wipe-handle.ts";
import { styled } from "./styled.ts";
import "./view-bar.ts";
import { WAY_NAMES } from "./wording.ts";

/** After the last zoom or move, before a sharper crop is asked for. */
const REST_MS = 220;
/** A press that moves less, in CSS pixels, is a click. */
const CLICK = 4;

/** The large picture on its garment: zoom, move, wipe, probe, and regions drawn into it. */
export class PictureView extends PanelElement {
  protected override readonly news = ["change", "picture"] as const;
  static override styles = [baseStyles, pictureStyles];
  #size = { width: 0, height: 0 };
  /** What each canvas shows, or soon will: a canvas that was made anew shows nothing yet. */
  readonly #shown = new WeakMap<HTMLCanvasElement, string>();
  #rest: ReturnType<typeof setTimeout> | undefined;
  #sought = "";
  #drag: { readonly x: number; readonly y: number; moved: boolean } | undefined;
  #draft: RegionDraft | undefined;
  #feather = 4;
  /** Where the scale of differences ends. */
  #end = USUAL_END;
  readonly #observer = new ResizeObserver(([entry]) => {
    if (!entry) return;
    this.#size = { width: entry.contentRect.width, height: entry.contentRect.height };
    this.requestUpdate();
  });

  protected override firstUpdated(): void {
    const stage = this.renderRoot.querySelector<HTMLElement>(".stage");
    if (!stage) return;
    this.#observer.observe(stage);
    // Lit's listeners are passive for none, but the browser takes wheel ones for such.
    stage.addEventListener("wheel", this.#wheel, { passive: false });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#observer.disconnect();
    clearTimeout(this.#rest);
  }

  get #viewport(): Viewport | undefined {
    const { job, placed, view } = this.store;
    if (!job || !placed || this.#size.width === 0) return undefined;
    return new Viewport(view, this.#size, { width: job.widthMm, height: placed.heightMm });
  }

  override render() {
    const { job, view, placed, crop } = this.store;
    const viewport = this.#viewport;
    const garment = job && garmentOf(job, view);
    const film = view.mode === "plate" && view.plateAs === "film";
    const ground = film ? "film" : view.mode === "difference" || view.mode === "commit" ? "plain" : "cloth";
    return html`<div class="picture">
      <div
        class="stage ${ground} ${this.#draft ? "drawing" : ""}"
        ${styled(ground === "cloth" && garment ? { background: garment.hex } : {})}
        role="application"
        tabindex="0"
        aria-label=${this.#label()}
        aria-describedby="keys"
        @pointerdown=${this.#down}
        @pointermove=${this.#moveOver}
        @pointerup=${this.#up}
        @pointerleave=${this.#leave}
        @dblclick=${this.#closeDraft}
        @keydown=${this.#key}
      >
        ${
          viewport && placed
            ? html`
          <div class="print" ${styled(placeOf(viewport, { ...placed, xMm: 0, yMm: 0 }))}></div>
          ${this.#layer("main", viewport, placed)}
          ${crop ? this.#layer("crop", viewport, crop) : nothing}
          ${view.mode === "wipe" ? this.#layer("wipe", viewport, placed) : nothing}
          ${isSeenAsDots(job!, view) && !this.store.print.mean ? html`<film-view .store=${this.store} .viewport=${viewport}></film-view>` : nothing}
          ${this.#overlay(viewport)}
          ${view.mode === "wipe" ? html`<wipe-handle .store=${this.store} .viewport=${viewport}></wipe-handle>` : nothing}`
            : nothing
        }
      </div>
      <span id="keys" class="unseen">
        Arrow keys move the probe, with Shift further; Alt and arrow keys move the picture; Enter pins the probe; plus,
        minus, 0 and 1 zoom.
      </span>
      ${view.mode === "commit" ? this.#ofCommit() : nothing}
      ${view.loupe && job ? html`<dot-loupe .store=${this.store}></dot-loupe>` : nothing}
      ${this.#draft ? this.#form(this.#draft) : nothing}
      </div>
      <div class="bar">
        <view-bar role="region" aria-label="About the picture" .store=${this.store}></view-bar>
        <picture-tools
          .store=${this.store}
          .viewport=${viewport}
          .shape=${this.#draft?.shape}
          @draw=${(e: CustomEvent<RegionShape | undefined>) => this.#draw(e.detail)}
        ></picture-tools>
      </div>
    `;
  }

  /** What there is to say in place of the last commit's picture: why there is none, or that it is the same. */
  #ofCommit() {
    const { committed, view, job } = this.store;
    if (!committed || !job) return nothing;
    if (!committed.job) {
      const ways = committed.ways ?? [];
      return html`<div class="over-picture" role="status">
        <p>${sentence(committed.problem ?? "the last commit cannot be read")}.
          ${ways.includes("beginGit") ? "Begin one and commit the recipe; from then on this shows what changed since." : nothing}</p>
        ${ways.map((way) => html`<button @click=${() => this.store.host.post({ kind: "go", way })}>${WAY_NAMES[way]}</button>`)}
      </div>`;
    }
    const plates =
      view.commitOf === "plate" ? [shownPlate(job, view) ?? ""] : job.plates.map(({ name }) => name);
    const same = plates.every((plate) => this.store.isUnchanged(plate)) && this.#printsTheSame(committed.job);
    if (view.commit !== "difference" || !same) return nothing;
    return html`<div class="over-picture" role="status"><p>Nothing changed${view.commitOf === "plate" ? ` in plate ${plates[0]}` : ""} since the last commit</p></div>`;
  }

  /** Plates alone say nothing of inks and order, which the composite shows. */
  #printsTheSame(before: PanelJob): boolean {
    const { job, view } = this.store;
    if (view.commitOf === "plate" || !job) return true;
    const [now, then] = [shownProof(job, view, "now"), shownProof(before, view, "now")];
    return JSON.stringify(now) === JSON.stringify(then);
  }

  #label(): string {
    const { job, view } = this.store;
    const garment = job ? garmentOf(job, view)?.name : "";
    const plate = job ? shownPlate(job, view) : "";
    const what = {
      proof: "Proof",
      wipe: "Artwork and proof",
      difference: "Colour difference",
      plate: `Plate ${plate}`,
      garments: "",
      commit: "Change since the last commit",
    }[view.mode];
    return `${what} on ${garment}`;
  }

  #layer(name: string, viewport: Viewport, placed: PlacedPicture) {
    const place = placeOf(viewport, placed);
    const clip: Record<string, string> = {};
    if (this.store.view.mode === "wipe") {
      const line = viewport.left + this.store.view.wipe * viewport.printMm.width * viewport.scale;
      const left = Number.parseFloat(place.left);
      const cut = Math.min(Number.parseFloat(place.width), Math.max(0, line - left));
      if (name === "wipe") clip["clip-path"] = `inset(0 calc(100% - ${cut}px) 0 0)`;
      else if (name === "crop") clip["clip-path"] = `inset(0 0 0 ${cut}px)`;
    }
    return html`<canvas class="layer ${name}" width="1" height="1" aria-hidden="true" ${styled({ ...place, ...clip })}></canvas>`;
  }

  #overlay(viewport: Viewport) {
    const { job, place, point, pinned } = this.store;
    const entry = job?.regions.find((region) => region.entry === place.region);
    const drawn = this.#draft && regionOf(this.#draft, this.#pointer, this.#draft.closed ? this.#feather : 0);
    const corner = this.#draft?.points[0];
    const draft: Region | undefined =
      drawn ??
      (this.#draft && corner
        ? { shape: "polygon", points: [...this.#draft.points, this.#pointer ?? corner], feather: 0 }
        : undefined);
    const [x, y] = point
      ? [viewport.left + point.x * viewport.scale, viewport.top + point.y * viewport.scale]
      : [0, 0];
    return html`<svg class="overlay" aria-hidden="true">
      ${entry ? outline(entry.region, viewport, String(entry.entry)) : nothing}
      ${draft ? outline(draft, viewport, "draft") : nothing}
      ${point && pinned ? crosshair(x, y) : nothing}
    </svg>`;
  }

  #form(draft: RegionDraft) {
    const region = draft.closed ? regionOf(draft, undefined, this.#feather) : undefined;
    const middle = region?.shape === "ellipse" ? region.centre[0] : region ? meanX(region) : Infinity;
    return html`<region-form
      class=${middle < (this.#viewport?.centre[0] ?? 0) ? "right" : ""}
      .store=${this.store}
      .region=${region}
      .shape=${draft.shape}
      .feather=${this.#feather}
      @shape=${(e: CustomEvent<RegionShape>) => this.#draw(e.detail)}
      @feather=${(e: CustomEvent<number>) => {
        this.#feather = e.detail;
        this.requestUpdate();
      }}
      @done=${() => this.#draw(undefined)}
    ></region-form>`;
  }

  protected override updated(_changed: PropertyValues): void {
    const { store } = this;
    const { job, view, placed } = store;
    if (!job || !placed) return;
    const before = store.committed?.job;
    this.#paint("main", requestOf(job, before, view, "now", this.#end));
    const garment = garmentOf(job, view);
    if (view.mode === "wipe" && garment)
      this.#paint("wipe", { kind: "artwork", source: "now", garment: garment.colour });
    if (store.crop) this.#paint("crop", requestOf(job, before, view, "crop", this.#end));
    this.#seekCrop();
  }

  #paint(layer: string, request: RenderRequest | undefined): void {
    const canvas = this.renderRoot.querySelector<HTMLCanvasElement>(`canvas.${layer}`);
    // There is none before the stage has a size.
    if (!canvas) return;
    const state = `${JSON.stringify(request)} ${this.store.edition} ${layer === "crop" ? this.store.crop?.key : ""}`;
    if (this.#shown.get(canvas) === state) return;
    this.#shown.set(canvas, state);
    const { edition } = this.store;
    const done = (picture: RenderedPicture | undefined) => {
      if (picture) paint(canvas, picture);
      else if (request === undefined) canvas.width = 1;
      if (layer !== "main") return;
      const difference = picture?.difference;
      const end = difference ? scaleEnd(difference.p95) : this.#end;
      const detail: Painted = { edition, difference, end: this.#end, worst: picture?.worst ?? [] };
      this.store.dispatchEvent(new CustomEvent("painted", { detail }));
      if (end === this.#end) return;
      this.#end = end;
      this.requestUpdate();
    };
    if (request) this.store.renderer.render(layer, request, done);
    else done(undefined);
  }

  /** Asks for a sharper crop once zooming and moving rest, and lets the one that no longer fits go. */
  #seekCrop(): void {
    const { view, placed } = this.store;
    const look = JSON.stringify([view.scale, view.centre, view.mode, this.#size, placed?.ppi]);
    if (look === this.#sought) return;
    this.#sought = look;
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => {
      const { placed, view } = this.store;
      const viewport = this.#viewport;
      if (!viewport || !placed) return;
      const sharpable = view.mode !== "commit" && view.mode !== "garments" && !placed.lowResolution;
      const ppi = Math.min(placed.ppi, placed.ownPpi ?? Number.POSITIVE_INFINITY);
      const coarse = placed.ownPpi === undefined || placed.ownPpi > placed.ppi * 1.02;
      const crop = sharpable && coarse ? viewport.sharper(ppi, window.devicePixelRatio) : undefined;
      this.store.want(crop ?? null);
      if (!crop && this.store.crop) {
        this.store.dropCrop();
        this.requestUpdate();
      }
    }, REST_MS);
  }

  get #pointer(): Point | undefined {
    const { point } = this.store;
    return point && [point.x, point.y];
  }

  #at(event: MouseEvent): Point | undefined {
    const box = this.renderRoot.querySelector(".stage")!.getBoundingClientRect();
    return this.#viewport?.toPrint(event.clientX - box.left, event.clientY - box.top);
  }

  readonly #down = (event: PointerEvent): void => {
    if (event.button !== 0 || (event.target as Element).closest("wipe-handle")) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.#drag = { x: event.clientX, y: event.clientY, moved: false };
    if (this.#draft && this.#draft.shape !== "polygon") this.#corner(event);
  };

  readonly #moveOver = (event: PointerEvent): void => {
    const at = this.#at(event);
    const drag = this.#drag;
    if (drag && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) > CLICK) drag.moved = true;
    if (drag?.moved && !this.#draft) {
      const viewport = this.#viewport;
      if (viewport) this.store.setView(viewport.panned(event.clientX - drag.x, event.clientY - drag.y));
      this.#drag = { x: event.clientX, y: event.clientY, moved: true };
      return;
    }
    if (!at || (this.store.pinned && !this.#draft)) return;
    this.store.point = { x: at[0], y: at[1] };
    this.store.changed();
  };

  readonly #up = (event: PointerEvent): void => {
    const drag = this.#drag;
    this.#drag = undefined;
    if (!drag) return;
    const draft = this.#draft;
    if (draft) {
      // Drawn in one pull, or with a click at each of two corners.
      if (draft.shape === "polygon" ? !drag.moved : drag.moved && !draft.closed) this.#corner(event);
      return;
    }
    if (drag.moved) return;
    const at = this.#at(event);
    if (at) this.#pin(at);
  };

  readonly #leave = (): void => {
    if (this.store.pinned || this.#draft) return;
    this.store.point = undefined;
    this.store.changed();
  };

  #pin([x, y]: Point): void {
    const { store } = this;
    const again =
      store.pinned &&
      store.point &&
      Math.hypot(store.point.x - x, store.point.y - y) * (this.#viewport?.scale ?? 1) < 6;
    store.pinned = !again;
    store.point = { x, y };
    store.reasons = undefined;
    if (store.pinned && !store.probe()) store.pinned = false;
    store.changed();
  }

  #draw(shape: RegionShape | undefined): void {
    this.#draft = shape && newDraft(shape);
    this.store.pinned = false;
    this.store.reasons = undefined;
    this.store.changed();
  }

  #corner(event: MouseEvent): void {
    const at = this.#at(event);
    if (at && this.#draft) this.#draft = withCorner(this.#draft, at);
    this.requestUpdate();
  }

  readonly #closeDraft = (): void => {
    if (this.#draft?.shape !== "polygon") return;
    // The second click of a double one is no corner of its own.
    this.#draft = closed({ ...this.#draft, points: this.#draft.points.slice(0, -1) });
    this.requestUpdate();
  };

  readonly #wheel = (event: WheelEvent): void => {
    const viewport = this.#viewport;
    if (!viewport) return;
    event.preventDefault();
    if (event.ctrlKey || event.metaKey) {
      const box = this.renderRoot.querySelector(".stage")!.getBoundingClientRect();
      this.store.setView(
        viewport.zoomed(1.0015 ** -event.deltaY, event.clientX - box.left, event.clientY - box.top),
      );
    } else this.store.setView(viewport.panned(-event.deltaX, -event.deltaY));
  };

  readonly #key = (event: KeyboardEvent): void => {
    const viewport = this.#viewport;
    if (!viewport || event.ctrlKey || event.metaKey || (event.target as Element).closest("wipe-handle"))
      return;
    const [dx, dy] = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[
      event.key
    ] ?? [0, 0];
    if (dx !== 0 || dy !== 0) {
      if (event.altKey) this.store.setView(viewport.panned(-dx! * 60, -dy! * 60));
      else this.#step(viewport, dx!, dy!, event.shiftKey ? 10 : 1);
    } else if (event.key === "d") this.store.setView({ loupe: !this.store.view.loupe });
    else if (event.key === "+" || event.key === "=") this.store.setView(viewport.zoomed(1.25));
    else if (event.key === "-") this.store.setView(viewport.zoomed(1 / 1.25));
    else if (event.key === "0") this.store.setView({ scale: null, centre: null });
    else if (event.key === "1") this.store.setView(viewport.zoomed(PRINT_SIZE / viewport.scale));
    else if (event.key === "Enter") this.#enter(event.shiftKey);
    else if (event.key === "Escape") this.#escape();
    else return;
    event.preventDefault();
  };

  /** Moves the probe, which starts in the middle, and the picture where the probe would leave the window. */
  #step(viewport: Viewport, dx: number, dy: number, mm: number): void {
    const { store } = this;
    const from = store.point ?? { x: viewport.centre[0], y: viewport.centre[1] };
    const within = (v: number, most: number) => Math.min(most - 0.01, Math.max(0, v));
    const x = within(from.x + dx * mm, viewport.printMm.width);
    const y = within(from.y + dy * mm, viewport.printMm.height);
    store.point = { x, y };
    if (!this.#draft) store.pinned = true;
    const [left, top] = [viewport.left + x * viewport.scale, viewport.top + y * viewport.scale];
    const outside = left < 0 || top < 0 || left > viewport.window.width || top > viewport.window.height;
    if (outside) store.setView({ scale: viewport.scale, centre: [x, y] });
    else store.changed();
  }

  #enter(finish: boolean): void {
    const { store } = this;
    const at = this.#pointer ?? this.#viewport?.centre;
    if (this.#draft) {
      if (finish) this.#draft = closed(this.#draft);
      else if (at) {
        this.#draft = withCorner(this.#draft, at);
        store.point = { x: at[0], y: at[1] };
      }
      store.changed();
      return;
    }
    store.pinned = !store.pinned && store.probe() !== undefined;
    store.changed();
  }

  #escape(): void {
    this.#draft = undefined;
    this.store.pinned = false;
    this.store.point = undefined;
    this.store.reasons = undefined;
    this.store.changed();
  }
}
customElements.define("picture-view", PictureView);

function placeOf(viewport: Viewport, placed: PlacedPicture) {
  const mm = MM_PER_INCH / placed.ppi;
  return {
    left: `${viewport.left + placed.xMm * viewport.scale}px`,
    top: `${viewport.top + placed.yMm * viewport.scale}px`,
    width: `${placed.width * mm * viewport.scale}px`,
    height: `${placed.height * mm * viewport.scale}px`,
  };
}

/** Puts a rendered picture on a canvas. */
export function paint(canvas: HTMLCanvasElement, picture: RenderedPicture): void {
  if (canvas.width !== picture.width) canvas.width = picture.width;
  if (canvas.height !== picture.height) canvas.height = picture.height;
  const context = canvas.getContext("2d");
  for (const { y, data } of picture.bands) context?.putImageData(data, 0, y);
}

function crosshair(x: number, y: number) {
  const lines = "M-14 0h9M5 0h9M0-14v9M0 5v9";
  return svg`<g class="cross" transform=${`translate(${x} ${y})`}><path class="under" d=${lines}></path><path class="over" d=${lines}></path></g>`;
}

function meanX(region: Exclude<Region, { shape: "ellipse" }>): number {
  const points = region.shape === "polygon" ? region.points : [region.from, region.to];
  return points.reduce((sum, [x]) => sum + x, 0) / points.length;
}
