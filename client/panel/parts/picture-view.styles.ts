import { css } from "lit";

export const pictureStyles = css`
  :host {
    position: relative;
    display: block;
    min-height: 0;
    overflow: hidden;
  }
  .stage {
    position: absolute;
    inset: 0;
    overflow: hidden;
    touch-action: none;
    cursor: crosshair;
    background: var(--vscode-editor-background);
  }
  .stage.drawing {
    cursor: cell;
  }
  .stage.plain {
    background: var(--vscode-sideBar-background, var(--vscode-editor-background));
  }
  /* Clear film on a light table. */
  .stage.film {
    background: #c9cdcf;
  }
  .stage.film .print {
    background: #eef1f2;
    box-shadow: 0 0 0 1px rgb(0 0 0 / 25%);
  }
  .stage.stale .layer {
    opacity: 0.45;
    filter: grayscale(0.5);
  }
  .print,
  .layer {
    position: absolute;
  }
  .stage.plain .print {
    box-shadow: 0 0 0 1px var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
  }
  .overlay {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    pointer-events: none;
  }
  .under {
    fill: none;
    stroke: rgb(0 0 0 / 75%);
    stroke-width: 3.5;
  }
  .over {
    fill: none;
    stroke: #fff;
    stroke-width: 1.5;
  }
  .region .over {
    stroke-dasharray: 6 4;
  }
  .handle {
    position: absolute;
    top: 0;
    bottom: 0;
    width: 15px;
    margin-left: -7px;
    cursor: ew-resize;
  }
  .handle::before {
    content: "";
    position: absolute;
    inset: 0 6px;
    background: #fff;
    box-shadow: 0 0 0 1px rgb(0 0 0 / 60%);
  }
  .handle:focus-visible {
    outline: none;
  }
  .handle:focus-visible::before {
    background: var(--vscode-focusBorder);
    inset: 0 5px;
  }
  .side {
    position: absolute;
    top: 12px;
    padding: 2px 8px;
    border-radius: 3px;
    font-size: 11px;
    color: #fff;
    background: rgb(0 0 0 / 65%);
    white-space: nowrap;
    pointer-events: none;
  }
  .side.left {
    right: 20px;
  }
  .side.right {
    left: 20px;
  }
  .tools {
    position: absolute;
    right: 12px;
    bottom: 12px;
    display: flex;
    flex-wrap: wrap;
    justify-content: flex-end;
    gap: 6px;
    pointer-events: none;
  }
  .set {
    display: flex;
    align-items: center;
    gap: 2px;
    padding: 2px 4px;
    border-radius: 4px;
    border: 1px solid var(--vscode-widget-border, var(--vscode-contrastBorder, transparent));
    background: var(--vscode-editorWidget-background);
    color: var(--vscode-editorWidget-foreground, var(--vscode-foreground));
    box-shadow: 0 1px 4px var(--vscode-widget-shadow, transparent);
    pointer-events: auto;
  }
  .set button:hover {
    background: var(--vscode-toolbar-hoverBackground);
  }
  .set button[aria-pressed="true"] {
    background: var(--vscode-inputOption-activeBackground);
    color: var(--vscode-inputOption-activeForeground, inherit);
    border-color: var(--vscode-inputOption-activeBorder, transparent);
  }
  .shape {
    display: grid;
    place-items: center;
    padding: 3px 5px;
  }
  .shape svg {
    fill: none;
    stroke: currentColor;
    stroke-width: 1.2;
    stroke-linejoin: round;
    stroke-dasharray: 2.4 1.4;
  }
  .percent {
    min-width: 46px;
    text-align: center;
  }
  region-form {
    position: absolute;
    left: 12px;
    bottom: 12px;
    max-width: calc(100% - 24px);
    z-index: 1;
  }
`;
