import type { Point } from "../../../server/engine/plan.ts";
import { closed, newDraft, type RegionDraft, type RegionShape, withCorner } from "../region-draft.ts";
import { movedBy } from "../register-shift.ts";
import { isOnePrint } from "../seen-print.ts";
import type { Store } from "../store.ts";
import { isSeenAsDots } from "../view.ts";
import { PRINT_SIZE, type Viewport } from "../viewport.ts";

/** A press that moves less, in CSS pixels, is a click. */
const CLICK = 4;

/** The picture that pointer and keys move over. */
interface Stage {
  readonly store: Store;
  readonly viewport: Viewport | undefined;
  /** Whose left and top edge the viewport counts from. */
  stageBox(): DOMRect;
  requestUpdate(): void;
}

/** Pointer and keys on the large picture: zoom, move, probe, a print's plates, and regions drawn into it. */
export class StageHand {
  /** The region that is being drawn. */
  draft: RegionDraft | undefined;
  readonly #stage: Stage;
  #drag: { readonly x: number; readonly y: number; moved: boolean } | undefined;

  constructor(stage: Stage) {
    this.#stage = stage;
  }

  get #store(): Store {
    return this.#stage.store;
  }

  /** Where the probe is. */
  get pointer(): Point | undefined {
    const { point } = this.#store;
    return point && [point.x, point.y];
  }

  /** Begins a region; without a shape, lets the one go that was begun. */
  draw(shape: RegionShape | undefined): void {
    this.draft = shape && newDraft(shape);
    this.#store.pinned = false;
    this.#store.reasons = undefined;
    this.#store.changed();
  }

  #at(event: MouseEvent): Point | undefined {
    const box = this.#stage.stageBox();
    return this.#stage.viewport?.toPrint(event.clientX - box.left, event.clientY - box.top);
  }

  readonly down = (event: PointerEvent): void => {
    if (event.button !== 0 || (event.target as Element).closest("wipe-handle")) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.#drag = { x: event.clientX, y: event.clientY, moved: false };
    if (this.draft && this.draft.shape !== "polygon") this.#corner(event);
  };

  readonly move = (event: PointerEvent): void => {
    const at = this.#at(event);
    const drag = this.#drag;
    if (drag && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) > CLICK) drag.moved = true;
    if (drag?.moved && !this.draft) {
      const { viewport } = this.#stage;
      if (viewport) this.#store.setView(viewport.panned(event.clientX - drag.x, event.clientY - drag.y));
      this.#drag = { x: event.clientX, y: event.clientY, moved: true };
      return;
    }
    if (!at || (this.#store.pinned && !this.draft)) return;
    this.#store.point = { x: at[0], y: at[1] };
    this.#store.changed();
  };

  readonly up = (event: PointerEvent): void => {
    const drag = this.#drag;
    this.#drag = undefined;
    if (!drag) return;
    const { draft } = this;
    if (draft) {
      // Drawn in one pull, or with a click at each of two corners.
      if (draft.shape === "polygon" ? !drag.moved : drag.moved && !draft.closed) this.#corner(event);
      return;
    }
    if (drag.moved) return;
    const at = this.#at(event);
    if (at) this.#pin(at);
  };

  readonly leave = (): void => {
    if (this.#store.pinned || this.draft) return;
    this.#store.point = undefined;
    this.#store.changed();
  };

  #pin([x, y]: Point): void {
    const store = this.#store;
    const again =
      store.pinned &&
      store.point &&
      Math.hypot(store.point.x - x, store.point.y - y) * (this.#stage.viewport?.scale ?? 1) < 6;
    store.pinned = !again;
    store.point = { x, y };
    store.reasons = undefined;
    if (store.pinned && !store.probe()) store.pinned = false;
    store.changed();
  }

  #corner(event: MouseEvent): void {
    const at = this.#at(event);
    if (at && this.draft) this.draft = withCorner(this.draft, at);
    this.#stage.requestUpdate();
  }

  readonly doubleClick = (): void => {
    if (this.draft?.shape !== "polygon") return;
    // The second click of a double one is no corner of its own.
    this.draft = closed({ ...this.draft, points: this.draft.points.slice(0, -1) });
    this.#stage.requestUpdate();
  };

  readonly wheel = (event: WheelEvent): void => {
    const { viewport } = this.#stage;
    if (!viewport) return;
    event.preventDefault();
    if (event.ctrlKey || event.metaKey) {
      const box = this.#stage.stageBox();
      this.#store.setView(
        viewport.zoomed(1.0015 ** -event.deltaY, event.clientX - box.left, event.clientY - box.top),
      );
    } else this.#store.setView(viewport.panned(-event.deltaX, -event.deltaY));
  };

  readonly key = (event: KeyboardEvent): void => {
    const { viewport } = this.#stage;
    const store = this.#store;
    if (!viewport || event.ctrlKey || event.metaKey || (event.target as Element).closest("wipe-handle"))
      return;
    const [dx, dy] = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[
      event.key
    ] ?? [0, 0];
    if (dx !== 0 || dy !== 0) {
      if (event.altKey) store.setView(viewport.panned(-dx! * 60, -dy! * 60));
      else if (!this.#showsOnePrint() || !movePlate(store, event.key))
        this.#step(viewport, dx!, dy!, event.shiftKey ? 10 : 1);
    } else if (event.key === "d") store.setView({ loupe: !store.view.loupe });
    else if (event.key === "+" || event.key === "=") store.setView(viewport.zoomed(1.25));
    else if (event.key === "-") store.setView(viewport.zoomed(1 / 1.25));
    else if (event.key === "0") store.setView({ scale: null, centre: null });
    else if (event.key === "1") store.setView(viewport.zoomed(PRINT_SIZE / viewport.scale));
    else if (event.key === "Enter") this.#enter(event.shiftKey);
    else if (event.key === "Escape") this.#escape();
    else return;
    event.preventDefault();
  };

  /** Whether it can be seen that a plate moves. */
  #showsOnePrint(): boolean {
    const { job, view, print } = this.#store;
    return isOnePrint(view, print) || (job !== undefined && isSeenAsDots(job, view));
  }

  /** Moves the probe, which starts in the middle, and the picture where the probe would leave the window. */
  #step(viewport: Viewport, dx: number, dy: number, mm: number): void {
    const store = this.#store;
    const from = store.point ?? { x: viewport.centre[0], y: viewport.centre[1] };
    const within = (v: number, most: number) => Math.min(most - 0.01, Math.max(0, v));
    const x = within(from.x + dx * mm, viewport.printMm.width);
    const y = within(from.y + dy * mm, viewport.printMm.height);
    store.point = { x, y };
    if (!this.draft) store.pinned = true;
    const [left, top] = [viewport.left + x * viewport.scale, viewport.top + y * viewport.scale];
    const outside = left < 0 || top < 0 || left > viewport.window.width || top > viewport.window.height;
    if (outside) store.setView({ scale: viewport.scale, centre: [x, y] });
    else store.changed();
  }

  #enter(finish: boolean): void {
    const store = this.#store;
    const at = this.pointer ?? this.#stage.viewport?.centre;
    if (this.draft) {
      if (finish) this.draft = closed(this.draft);
      else if (at) {
        this.draft = withCorner(this.draft, at);
        store.point = { x: at[0], y: at[1] };
      }
      store.changed();
      return;
    }
    store.pinned = !store.pinned && store.probe() !== undefined;
    store.changed();
  }

  #escape(): void {
    const store = this.#store;
    this.draft = undefined;
    store.pinned = false;
    store.point = undefined;
    store.reasons = undefined;
    store.changed();
  }
}

/** Moves the plate that arrow keys move, if any: what is seen is one print from then on. */
export function movePlate(store: Store, key: string): boolean {
  const { moving, print } = store;
  const shifts =
    moving === undefined || print.kind === "mean" ? undefined : movedBy(print.shifts, moving, key);
  if (!shifts) return false;
  store.setPrint({ kind: "one", draw: print.draw, shifts });
  return true;
}
