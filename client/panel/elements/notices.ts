import "@vscode-elements/elements/dist/vscode-icon/index.js";
import { css, html, nothing } from "lit";
import { baseStyles, PanelElement } from "./panel-element.ts";

/** What keeps the picture from being that of the text: errors, artwork that cannot be read. */
export class PanelNotices extends PanelElement {
  static override styles = [
    baseStyles,
    css`
      div {
        display: flex;
        align-items: baseline;
        gap: 8px;
        padding: 7px 14px;
        border-bottom: 1px solid var(--vscode-inputValidation-errorBorder, var(--vscode-contrastBorder, transparent));
        background: var(--vscode-inputValidation-errorBackground);
        color: var(--vscode-inputValidation-errorForeground, var(--vscode-foreground));
      }
      div.note {
        background: var(--vscode-inputValidation-infoBackground);
        border-color: var(--vscode-inputValidation-infoBorder, var(--vscode-contrastBorder, transparent));
        color: var(--vscode-inputValidation-infoForeground, var(--vscode-foreground));
      }
      vscode-icon {
        align-self: center;
        color: inherit;
      }
      button {
        flex: none;
        padding: 0 4px;
        color: inherit;
        text-decoration: underline;
      }
      p {
        margin: 0;
        overflow-wrap: anywhere;
      }
    `,
  ];

  override render() {
    const { findings, problem, stale, placed } = this.store;
    const errors = findings.filter(({ level }) => level === "error");
    const [first] = errors;
    const notes = placed?.notes ?? [];
    return html`<section aria-label="Notices" aria-live="polite">
      ${
        stale && first && !problem
          ? html`<div>
            <vscode-icon name="error"></vscode-icon>
            <button @click=${() => this.store.reveal(first)}>${first.inShop ? "shop file, " : ""}line ${first.line}</button>
            <p>${first.message}${errors.length > 1 ? html` <span>(and ${errors.length - 1} more)</span>` : nothing}</p>
          </div>`
          : nothing
      }
      ${problem ? html`<div><vscode-icon name="warning"></vscode-icon><p>${problem}</p></div>` : nothing}
      ${notes.map((note) => html`<div class="note"><vscode-icon name="info"></vscode-icon><p>${note}</p></div>`)}
    </section>`;
  }
}
customElements.define("panel-notices", PanelNotices);
