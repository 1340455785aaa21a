import { css } from "lit";

/** Of the large picture and what lies over it. */
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
  dot-loupe {
    position: absolute;
    left: 10px;
    bottom: 10px;
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
  picture-tools {
    position: absolute;
    right: 12px;
    bottom: 12px;
    max-width: calc(100% - 24px);
    pointer-events: none;
  }
  region-form {
    position: absolute;
    left: 12px;
    bottom: 12px;
    max-width: calc(100% - 24px);
    z-index: 1;
  }
`;
