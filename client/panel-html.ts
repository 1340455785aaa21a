/** Places of the page's files, as its window may load them. */
export interface PanelFiles {
  readonly script: string;
  readonly style: string;
  readonly icons: string;
  /** Origin that the window may load from. */
  readonly source: string;
}

/**
 * The page. It may load its own script, style and icons, start workers and compile loops (`engine/kernel.ts`) that it
 * carries with it, and nothing else: no network, no script or style written into the page.
 */
export function panelHtml({ script, style, icons, source }: PanelFiles, nonce: string): string {
  const policy = [
    "default-src 'none'",
    `script-src 'nonce-${nonce}' 'wasm-unsafe-eval'`,
    `style-src ${source} 'nonce-${nonce}'`,
    `font-src ${source}`,
    "img-src 'none'",
    "worker-src blob:",
    "connect-src 'none'",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  return `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8">
    <meta http-equiv="Content-Security-Policy" content="${policy}">
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <title>Proof</title>
    <link rel="stylesheet" href="${style}">
    <link rel="stylesheet" href="${icons}" id="vscode-codicon-stylesheet" nonce="${nonce}">
  </head>
  <body>
    <script nonce="${nonce}" src="${script}"></script>
  </body>
</html>
`;
}
