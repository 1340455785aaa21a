import type { ReactiveControllerHost } from "lit";

/** Moves a row of a list by dragging it: between which rows it would go, and where it went. */
export class StationDrag {
  readonly #host: ReactiveControllerHost;
  readonly #moved: (from: number, to: number) => void;
  #dragged: number | undefined;
  #target: number | undefined;

  /** `moved` is told which row stands in front of the one at `to` now. */
  constructor(host: ReactiveControllerHost, moved: (from: number, to: number) => void) {
    this.#host = host;
    this.#moved = moved;
  }

  /** The row in front of which the dragged one would go. */
  get target(): number | undefined {
    return this.#target;
  }

  start(event: DragEvent, i: number): void {
    this.#dragged = i;
    event.dataTransfer?.setData("text/plain", String(i));
    const row = (event.currentTarget as HTMLElement).closest("li");
    if (row) event.dataTransfer?.setDragImage(row, 8, 8);
    if (event.dataTransfer) event.dataTransfer.effectAllowed = "move";
  }

  over(event: DragEvent, i: number): void {
    if (this.#dragged === undefined) return;
    event.preventDefault();
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const target = event.clientY < box.top + box.height / 2 ? i : i + 1;
    if (target === this.#target) return;
    this.#target = target;
    this.#host.requestUpdate();
  }

  readonly leave = (event: DragEvent): void => {
    if ((event.currentTarget as HTMLElement).contains(event.relatedTarget as Node | null)) return;
    this.#target = undefined;
    this.#host.requestUpdate();
  };

  readonly end = (): void => {
    this.#dragged = undefined;
    this.#target = undefined;
    this.#host.requestUpdate();
  };

  readonly drop = (event: DragEvent): void => {
    event.preventDefault();
    if (this.#dragged !== undefined && this.#target !== undefined) this.#moved(this.#dragged, this.#target);
    this.end();
  };
}
