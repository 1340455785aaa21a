import { css, LitElement, type PropertyValues } from "lit";
import type { Store, StoreEvent } from "../store.ts";

/** A part of the panel: it shows the store, and is drawn again when the store says so. */
export abstract class PanelElement extends LitElement {
  static override properties = { store: { attribute: false } };
  declare store: Store;
  /** What the store says when there is something else to draw here. */
  protected readonly news: readonly StoreEvent[] = ["change"];
  readonly #changed = () => this.requestUpdate();

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has("store")) return;
    this.#forget(changed.get("store") as Store | undefined);
    for (const news of this.news) this.store?.addEventListener(news, this.#changed);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#forget(this.store);
  }

  #forget(store: Store | undefined): void {
    for (const news of this.news) store?.removeEventListener(news, this.#changed);
  }
}

/** What all parts share: the editor's colours and type, focus rings, plain buttons. */
export const baseStyles = css`
  :host {
    box-sizing: border-box;
    color: var(--vscode-foreground);
    font-family: var(--vscode-font-family);
    font-size: var(--vscode-font-size, 13px);
  }
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  button {
    font: inherit;
    color: inherit;
    background: none;
    border: 1px solid transparent;
    border-radius: 3px;
    margin: 0;
    padding: 3px 8px;
    cursor: pointer;
  }
  button:disabled {
    opacity: 0.5;
    cursor: default;
  }
  :focus-visible {
    outline: 1px solid var(--vscode-focusBorder);
    outline-offset: -1px;
  }
  /* What is chosen bears a border of nearly that colour already. */
  [aria-checked="true"]:focus-visible,
  [aria-pressed="true"]:focus-visible,
  [aria-current="true"]:focus-visible {
    outline: 2px solid var(--vscode-focusBorder);
    outline-offset: 1px;
  }
  .swatch {
    display: inline-block;
    flex: none;
    width: 12px;
    height: 12px;
    border-radius: 50%;
    border: 1px solid var(--vscode-contrastBorder, color-mix(in srgb, var(--vscode-foreground) 35%, transparent));
  }
  .quiet {
    color: var(--vscode-descriptionForeground);
  }
  .figures {
    font-variant-numeric: tabular-nums;
  }
  .unseen {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
`;
