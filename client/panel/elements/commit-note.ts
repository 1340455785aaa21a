import { css, html, nothing } from "lit";
import { sentence } from "../../../server/language/words.ts";
import type { PanelJob } from "../../../server/wire/panel.ts";
import { shownPlate, shownProof } from "../view.ts";
import { baseStyles, PanelElement } from "./panel-element.ts";
import { WAY_NAMES } from "./wording.ts";

/** What there is to say in place of the last commit's picture: why there is none, or that it is the same. */
export class CommitNote extends PanelElement {
  protected override readonly news = ["change", "picture"] as const;
  static override styles = [
    baseStyles,
    css`
      :host {
        position: absolute;
        inset: auto 0 50%;
        padding: 0 24px;
        pointer-events: none;
      }
      div {
        display: grid;
        justify-items: center;
        gap: 8px;
        text-align: center;
      }
      div > * {
        max-width: 460px;
        margin: 0;
        padding: 4px 12px;
        border-radius: 4px;
        background: var(--vscode-editorWidget-background);
        color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
        pointer-events: auto;
      }
      button {
        color: var(--vscode-button-secondaryForeground);
        background: var(--vscode-button-secondaryBackground);
        border-color: var(--vscode-button-border, var(--vscode-contrastBorder, transparent));
      }
    `,
  ];

  override render() {
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
}
customElements.define("commit-note", CommitNote);
