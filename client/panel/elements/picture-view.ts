import { html, nothing, type PropertyValues } from "lit";
import type { Region } from "../../../server/engine/plan.ts";
import { MM_PER_INCH } from "../../../server/engine/units.ts";
import type { Painted } from "../painted.ts";
import { scaleEnd, USUAL_END } from "../pixels/colour-scale.ts";
import type { RenderRequest, SlidName } from "../pixels/render.ts";
import type { RenderedPicture } from "../pixels/renderer.ts";
import type { WorstPlace } from "../pixels/worst-places.ts";
import { type RegionDraft, type RegionShape, regionOf } from "../region-draft.ts";
import { isOnePrint } from "../seen-print.ts";
import type { PlacedPicture } from "../store.ts";
import { garmentOf, isSeenAsDots, requestOf, shownPlate } from "../view.ts";
import { Viewport } from "../viewport.ts";
import "./commit-note.ts";
import { overPicture } from "./over-picture.ts";
import { paint } from "./paint.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { pictureStyles } from "./picture-view.styles.ts";
import "./dot-loupe.ts";
import "./film-view.ts";
import "./picture-tools.ts";
import "./region-form.ts";
import { StageHand } from "./stage-hand.ts";
import { styled } from "./styled.ts";
import "./view-bar.ts";
import "./wipe-handle.ts";

/** After the last zoom or move, before a sharper crop is asked for. */
const REST_MS = 220;

/** The large picture on its garment, with what lies over it; `StageHand` has what pointer and keys do to it. */
export class PictureView extends PanelElement {
  protected override readonly news = ["change", "picture"] as const;
  static override styles = [baseStyles, pictureStyles];
  #size = { width: 0, height: 0 };
  /** What each canvas shows, or soon will: a canvas that was made anew shows nothing yet. */
  readonly #shown = new WeakMap<HTMLCanvasElement, string>();
  #rest: ReturnType<typeof setTimeout> | undefined;
  #sought = "";
  readonly #hand = new StageHand(this);
  #feather = 4;
  /** Where the print that is seen is farthest from one in register. */
  #worst: readonly WorstPlace[] = [];
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
    stage.addEventListener("wheel", this.#hand.wheel, { passive: false });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#observer.disconnect();
    clearTimeout(this.#rest);
  }

  /** How the print lies in the window. */
  get viewport(): Viewport | undefined {
    const { job, placed, view } = this.store;
    if (!job || !placed || this.#size.width === 0) return undefined;
    return new Viewport(view, this.#size, { width: job.widthMm, height: placed.heightMm });
  }

  /** Where the stage stands in the page. */
  stageBox(): DOMRect {
    return this.renderRoot.querySelector(".stage")!.getBoundingClientRect();
  }

  override render() {
    const { job, view, placed, crop } = this.store;
    const viewport = this.viewport;
    const garment = job && garmentOf(job, view);
    const film = view.mode === "plate" && view.plateAs === "film";
    const ground = film ? "film" : view.mode === "difference" || view.mode === "commit" ? "plain" : "garment";
    return html`<div class="picture">
      <div
        class="stage ${ground} ${this.#hand.draft ? "drawing" : ""}"
        ${styled(ground === "garment" && garment ? { background: garment.hex } : {})}
        role="application"
        tabindex="0"
        aria-label=${this.#label()}
        aria-describedby="keys"
        @pointerdown=${this.#hand.down}
        @pointermove=${this.#hand.move}
        @pointerup=${this.#hand.up}
        @pointerleave=${this.#hand.leave}
        @dblclick=${this.#hand.doubleClick}
        @keydown=${this.#hand.key}
      >
        ${
          viewport && placed
            ? html`
          <div class="print" ${styled(placeOf(viewport, { ...placed, xMm: 0, yMm: 0 }))}></div>
          ${this.#layer("main", viewport, placed)}
          ${crop ? this.#layer("crop", viewport, crop) : nothing}
          ${view.mode === "wipe" ? this.#layer("wipe", viewport, placed) : nothing}
          ${isSeenAsDots(job!, view) && this.store.print.kind !== "mean" ? html`<film-view .store=${this.store} .viewport=${viewport}></film-view>` : nothing}
          ${overPicture(this.store, viewport, this.#drawn(), this.#worst)}
          ${view.mode === "wipe" ? html`<wipe-handle .store=${this.store} .viewport=${viewport}></wipe-handle>` : nothing}`
            : nothing
        }
      </div>
      <span id="keys" class="unseen">
        Arrow keys move the probe, with Shift further; Alt and arrow keys move the picture; Enter pins the probe; plus,
        minus, 0 and 1 zoom.
      </span>
      ${view.mode === "commit" ? html`<commit-note .store=${this.store}></commit-note>` : nothing}
      ${view.loupe && job ? html`<dot-loupe .store=${this.store}></dot-loupe>` : nothing}
      ${this.#hand.draft ? this.#form(this.#hand.draft) : nothing}
      </div>
      <div class="bar">
        <view-bar role="region" aria-label="About the picture" .store=${this.store}></view-bar>
        <picture-tools
          .store=${this.store}
          .viewport=${viewport}
          .shape=${this.#hand.draft?.shape}
          @draw=${(e: CustomEvent<RegionShape | undefined>) => this.#hand.draw(e.detail)}
        ></picture-tools>
      </div>
    `;
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

  /** The region that is being drawn, its next corner at the pointer. */
  #drawn(): Region | undefined {
    const { draft, pointer } = this.#hand;
    const corner = draft?.points[0];
    if (!draft || !corner) return undefined;
    return (
      regionOf(draft, pointer, draft.closed ? this.#feather : 0) ?? {
        shape: "polygon",
        points: [...draft.points, pointer ?? corner],
        feather: 0,
      }
    );
  }

  #form(draft: RegionDraft) {
    const region = draft.closed ? regionOf(draft, undefined, this.#feather) : undefined;
    const middle = region?.shape === "ellipse" ? region.centre[0] : region ? meanX(region) : Infinity;
    return html`<region-form
      class=${middle < (this.viewport?.centre[0] ?? 0) ? "right" : ""}
      .store=${this.store}
      .region=${region}
      .shape=${draft.shape}
      .feather=${this.#feather}
      @shape=${(e: CustomEvent<RegionShape>) => this.#hand.draw(e.detail)}
      @feather=${(e: CustomEvent<number>) => {
        this.#feather = e.detail;
        this.requestUpdate();
      }}
      @done=${() => this.#hand.draw(undefined)}
    ></region-form>`;
  }

  protected override updated(_changed: PropertyValues): void {
    const { store } = this;
    const { job, view, placed } = store;
    if (!job || !placed) return;
    const before = store.committed?.job;
    const one = isOnePrint(view, store.print);
    this.#paint("main", requestOf(job, before, view, "now", this.#end, one));
    const garment = garmentOf(job, view);
    if (view.mode === "wipe" && garment)
      this.#paint("wipe", { kind: "artwork", source: "now", garment: garment.colour });
    if (store.crop) this.#paint("crop", requestOf(job, before, view, "crop", this.#end, one));
    this.#seekCrop();
  }

  #paint(layer: string, request: RenderRequest | undefined): void {
    const canvas = this.renderRoot.querySelector<HTMLCanvasElement>(`canvas.${layer}`);
    // There is none before the stage has a size.
    if (!canvas) return;
    const { edition, crop, print } = this.store;
    const slid = request?.source === "slid" || request?.source === "slidCrop" ? request.source : undefined;
    const state = JSON.stringify([
      request,
      edition,
      layer === "crop" && crop?.key,
      slid && [...print.shifts],
    ]);
    if (this.#shown.get(canvas) === state) return;
    this.#shown.set(canvas, state);
    if (slid) this.#slide(slid);
    const done = (picture: RenderedPicture | undefined) => {
      if (picture) paint(canvas, picture);
      else if (request === undefined) canvas.width = 1;
      if (layer !== "main") return;
      this.#worst = (request?.kind === "onePrint" && picture?.worst) || [];
      if (this.#worst.length > 0) this.requestUpdate();
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

  /** Has the plates of the picture, or of its crop, where the print that is seen has them. */
  #slide(to: SlidName): void {
    const { job, placed, crop, print, renderer } = this.store;
    const picture = to === "slid" ? placed : crop;
    if (!job || !placed || !picture) return;
    const perMm = picture.ppi / MM_PER_INCH;
    const shifts = new Map(
      [...print.shifts].map(([plate, [x, y]]) => [plate, [x * perMm, y * perMm]] as const),
    );
    const toEnd = (from: number, pixels: number, ofMm: number) => (ofMm - from) * perMm < pixels + 1;
    renderer.slide(to, shifts, {
      left: picture.xMm * perMm < 1,
      top: picture.yMm * perMm < 1,
      right: toEnd(picture.xMm, picture.width, job.widthMm),
      bottom: toEnd(picture.yMm, picture.height, placed.heightMm),
    });
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
      const viewport = this.viewport;
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

function meanX(region: Exclude<Region, { shape: "ellipse" }>): number {
  const points = region.shape === "polygon" ? region.points : [region.from, region.to];
  return points.reduce((sum, [x]) => sum + x, 0) / points.length;
}
