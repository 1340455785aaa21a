import { css } from "lit";

/** Of the stations and the carriage above them. */
export const stationListStyles = css`
  :host {
    display: block;
    padding: 0 0 12px;
    container-type: inline-size;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 4px 10px;
    padding: 10px 14px 4px;
  }
  h2 {
    margin: 0;
    font-size: 11px;
    font-weight: 600;
    text-transform: uppercase;
    letter-spacing: 0.04em;
    color: var(--vscode-sideBarSectionHeader-foreground, var(--vscode-foreground));
  }
  .none {
    padding: 0 14px;
  }
  header .quiet {
    margin-left: auto;
  }
  .background {
    display: flex;
    align-items: center;
    gap: 4px;
    padding: 0 6px 2px 14px;
  }
  .background button {
    flex: 1;
    min-width: 0;
    padding: 2px 4px;
    text-align: left;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .carriage {
    display: grid;
    grid-template-columns: auto auto 1fr;
    align-items: center;
    gap: 2px 4px;
    padding: 2px 14px 8px 10px;
    border-bottom: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
  }
  .carriage input {
    width: 100%;
    min-width: 60px;
    accent-color: var(--vscode-progressBar-background);
  }
  .where {
    grid-column: 1 / -1;
    padding-left: 4px;
    color: var(--vscode-descriptionForeground);
  }
  vscode-toolbar-button[disabled] {
    opacity: 0.4;
    pointer-events: none;
  }
  ol {
    list-style: none;
    margin: 0;
    padding: 2px 0;
  }
  .columns {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto 66px;
    gap: 8px;
    margin: 0;
    padding: 4px 42px 0 76px;
    font-size: 11px;
  }
  .columns span:last-child {
    text-align: right;
  }
  .station {
    position: relative;
    display: grid;
    grid-template-columns: 34px minmax(0, 1fr) auto;
    align-items: center;
    padding-right: 6px;
  }
  /* The rail that the stations stand along. */
  .station::before {
    content: "";
    position: absolute;
    left: 19px;
    top: 0;
    bottom: 0;
    width: 2px;
    background: var(--vscode-progressBar-background);
  }
  .station:first-child::before {
    top: 50%;
  }
  .station:last-child::before {
    bottom: 50%;
  }
  .station.ahead::before {
    background: color-mix(in srgb, var(--vscode-foreground) 22%, transparent);
  }
  .number {
    position: relative;
    justify-self: center;
    margin-left: 6px;
    cursor: grab;
    min-width: 20px;
    height: 20px;
    padding: 0 3px;
    line-height: 18px;
    text-align: center;
    font-size: 11px;
    font-variant-numeric: tabular-nums;
    border-radius: 10px;
    border: 1px solid var(--vscode-progressBar-background);
    background: var(--vscode-editor-background);
  }
  .ahead .number {
    border-color: color-mix(in srgb, var(--vscode-foreground) 40%, transparent);
  }
  .between .number {
    border-style: dashed;
  }
  .here .number {
    background: var(--vscode-progressBar-background);
    color: var(--vscode-editor-background);
    font-weight: 600;
  }
  .ahead .row plate-thumbnail,
  .ahead .row .bar,
  .row.off plate-thumbnail,
  .row.off .bar {
    opacity: 0.35;
  }
  .ahead .name,
  .row.off .name {
    color: var(--vscode-descriptionForeground);
  }
  .row.off .name {
    text-decoration: line-through;
  }
  .station.before {
    box-shadow: 0 -2px 0 var(--vscode-focusBorder);
  }
  .station.behind {
    box-shadow: 0 2px 0 var(--vscode-focusBorder);
  }
  .row {
    display: flex;
    align-items: center;
    gap: 8px;
    width: 100%;
    min-width: 0;
    padding: 2px 4px;
    text-align: left;
    cursor: pointer;
  }
  .between .row {
    gap: 6px;
    padding: 1px 4px;
  }
  .row:hover {
    background: var(--vscode-list-hoverBackground);
    outline: 1px dashed var(--vscode-contrastActiveBorder, transparent);
    outline-offset: -1px;
  }
  .row[aria-current="true"] {
    background: var(--vscode-list-inactiveSelectionBackground);
    color: var(--vscode-list-inactiveSelectionForeground, inherit);
    outline: 1px solid var(--vscode-contrastActiveBorder, transparent);
    outline-offset: -1px;
  }
  .row:focus-visible {
    outline: 1px solid var(--vscode-focusBorder);
  }
  .names {
    flex: 1;
    min-width: 0;
    display: grid;
    line-height: 1.3;
  }
  .name {
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  /* Of a flash or a cool-down: what is said beside it gives way. */
  .row > .name {
    flex: none;
  }
  .prints .name {
    font-weight: 600;
  }
  .prints .name .quiet {
    font-weight: 400;
  }
  .ink {
    display: flex;
    align-items: center;
    gap: 6px;
    min-width: 0;
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .of {
    overflow: hidden;
    text-overflow: ellipsis;
  }
  .screen {
    flex: none;
    display: grid;
    justify-items: end;
    line-height: 1.3;
    font-size: 12px;
  }
  .says {
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .amounts {
    flex: none;
    display: grid;
    justify-items: end;
    gap: 3px;
    width: 54px;
  }
  .bar {
    justify-self: stretch;
    height: 4px;
    border-radius: 2px;
    overflow: hidden;
    background: color-mix(in srgb, var(--vscode-foreground) 16%, transparent);
  }
  .bar span {
    display: block;
    height: 100%;
    border-radius: 2px;
    box-shadow: inset 0 0 0 1px color-mix(in srgb, var(--vscode-foreground) 30%, transparent);
  }
  /* As wide with a finding as without, so that the figures stand in a column. */
  .marks {
    display: flex;
    align-items: center;
    justify-content: flex-end;
    min-width: 44px;
  }
  /* Beside a small picture: the film is seen by a click on its row. */
  @container (max-width: 340px) {
    plate-thumbnail,
    .columns {
      display: none;
    }
    .screen {
      font-size: 11px;
    }
    .amounts {
      width: 46px;
    }
    .marks {
      min-width: 26px;
    }
  }
  .back {
    padding: 0 4px;
    color: var(--vscode-textLink-foreground);
  }
  .findings {
    display: inline-flex;
    align-items: center;
    padding: 0 2px;
  }
  .findings.error {
    color: var(--vscode-editorError-foreground);
  }
  .findings.warning {
    color: var(--vscode-editorWarning-foreground);
  }
  .findings.note {
    color: var(--vscode-editorInfo-foreground);
  }
  .changed {
    color: var(--vscode-gitDecoration-modifiedResourceForeground);
    font-weight: 700;
  }
  .elsewhere {
    padding: 4px 14px;
  }
  h3 {
    margin: 6px 0 4px;
    font-size: inherit;
    font-weight: 400;
    color: var(--vscode-descriptionForeground);
  }
  .elsewhere button {
    border-color: var(--vscode-panel-border, var(--vscode-contrastBorder, currentColor));
    margin: 0 4px 4px 0;
  }
  @media (prefers-reduced-motion: no-preference) {
    .row plate-thumbnail,
    .number {
      transition: opacity 0.15s, background-color 0.15s;
    }
  }
`;
