import type { CodeLens, Command } from "vscode-languageserver-types";
import { rangeAt } from "../language/document.ts";
import type { Path } from "../language/finding.ts";
import { blocksOf, fieldsOf, textsOf } from "../language/reading.ts";
import { type Model, toRange } from "./model.ts";
import { counted, screensOf } from "./screens.ts";

/** The editor's command that shows a proof; its arguments are the recipe's URI and, if one is meant, a garment. */
export const OPEN_PROOF = "platewright.openProof";

/** Above the artwork: open the proof. Above each setup: open its first garment's proof; how many screens it takes. */
export function codeLenses(model: Model): CodeLens[] {
  const { source, uri } = model;
  const value = fieldsOf(source.value);
  if (source.kind !== "recipe" || Object.keys(value).length === 0) return [];
  return [
    lens(model, "artwork" in value ? ["artwork"] : [], openProof(uri)),
    ...blocksOf(value, "setups").flatMap(([name, setup]) => {
      const path = ["setups", name];
      const [garment] = textsOf(setup.garments);
      const { screens } = screensOf(model, setup);
      return [
        ...(garment ? [lens(model, path, openProof(uri, garment[1]))] : []),
        // A command without an id is shown as plain text.
        lens(model, path, { title: counted(screens, "screen"), command: "" }),
      ];
    }),
  ];
}

function openProof(uri: string, ...garment: string[]): Command {
  return { title: "open proof", command: OPEN_PROOF, arguments: [uri, ...garment] };
}

function lens(model: Model, path: Path, command: Command): CodeLens {
  const range = path.length > 0 ? rangeAt(model.source, path, "key") : { start: 0, end: 0 };
  return { range: toRange(model.source, range), command };
}
