/** Bundles the page into dist/panel: one script with its workers inside, one style sheet, the icons' font. */
import { copyFileSync, mkdirSync, writeFileSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build, type Plugin } from "esbuild";

const root = fileURLToPath(new URL("..", import.meta.url));
const out = `${root}dist/panel`;

/** `worker:./file.ts` is the text of that file, bundled: workers start from a blob, since no page may load one. */
const workers: Plugin = {
  name: "workers",
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^worker:/ }, ({ path, importer }) => ({
      path: resolve(dirname(importer), path.slice("worker:".length)),
      namespace: "worker",
    }));
    onLoad({ filter: /.*/, namespace: "worker" }, async ({ path }) => {
      const { outputFiles } = await build({ ...common, entryPoints: [path], write: false });
      return { contents: outputFiles?.[0]?.text ?? "", loader: "text" };
    });
  },
};

const common = {
  bundle: true,
  format: "iife",
  platform: "browser",
  target: "chrome130",
  minify: true,
  legalComments: "eof",
  absWorkingDir: root,
  metafile: true,
  logLevel: "warning",
} as const;

const { metafile } = await build({
  ...common,
  entryPoints: [`${root}client/panel/main.ts`],
  outfile: `${out}/panel.js`,
  plugins: [workers],
});
mkdirSync(out, { recursive: true });
for (const file of ["codicon.css", "codicon.ttf"])
  copyFileSync(`${root}node_modules/@vscode/codicons/dist/${file}`, `${out}/${file}`);
copyFileSync(`${root}client/panel/panel.css`, `${out}/panel.css`);
mkdirSync(`${root}build/bundles`, { recursive: true });
writeFileSync(`${root}build/bundles/panel.json`, JSON.stringify(metafile));
