import { css } from "lit";

/** Of the large picture and what lies over it. */
export const pictureStyles = css`
  :host {
    display: grid;
    grid-template-rows: minmax(0, 1fr) auto;
    min-height: 0;
    overflow: hidden;
    container-type: inline-size;
  }
  .picture {
    position: relative;
    overflow: hidden;
  }
  /* Of one height whatever it holds: the picture above it stays where it is. */
  .bar {
    display: flex;
    align-items: center;
    box-sizing: border-box;
    height: 42px;
    gap: 4px 14px;
    padding: 0 8px 0 14px;
    overflow: hidden;
    border-top: 1px solid var(--vscode-panel-border, var(--vscode-contrastBorder, transparent));
  }
  .bar view-bar {
    flex: 1 1 0;
  }
  @container (max-width: 720px) {
    /* A query is of what is around an element, so the host itself cannot follow it. */
    .bar {
      height: 104px;
      flex-wrap: wrap;
      align-content: center;
    }
    .bar view-bar {
      flex: 1 0 100%;
      height: 44px;
    }
    .bar picture-tools {
      margin-left: auto;
    }
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
    right: 10px;
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
  .print,
  .layer {
    position: absolute;
  }
  /* Garment and panel may look alike, and so may garment and print. */
  .stage.plain .print,
  .stage.garment .print {
    box-shadow: 0 0 0 1px color-mix(in srgb, #808080 70%, transparent);
  }
  .stage.garment {
    box-shadow: inset 0 0 0 1px color-mix(in srgb, #808080 55%, transparent);
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
  .worst text {
    font: 600 12px var(--vscode-font-family);
    fill: #fff;
    stroke: rgb(0 0 0 / 75%);
    stroke-width: 3px;
    paint-order: stroke;
  }
  .region .over {
    stroke-dasharray: 6 4;
  }
  region-form {
    position: absolute;
    left: 12px;
    bottom: 12px;
    max-width: calc(100% - 24px);
    z-index: 1;
  }
  region-form.right {
    left: auto;
    right: 12px;
  }
`;
