import type { Color, ColorInformation, ColorPresentation, Range } from "vscode-languageserver-types";
import { isScalar } from "yaml";
import { labFromLinear, linearFromLab } from "../engine/colour/cielab.ts";
import { byteFromLinear, linearFromSrgb } from "../engine/colour/srgb.ts";
import { rangeOf } from "../language/document.ts";
import { schemaAt } from "../language/schema.ts";
import { type Colour, parseColour } from "../language/values/colour.ts";
import { visitDocument } from "../language/visit.ts";
import { type Model, toRange } from "./model.ts";

/** Every colour of the document; those outside of sRGB show as the nearest that a screen can show. */
export function documentColours(model: Model): ColorInformation[] {
  const found: ColorInformation[] = [];
  visitDocument(model.source, (path, _key, node) => {
    if (!isScalar(node) || typeof node.value !== "string") return;
    const at = rangeOf(model.source, node);
    if (!at) return;
    if (schemaAt(model.source.kind, path)?.format !== "colour") return;
    const colour = parseColour(node.value);
    if (!colour.ok) return;
    const range = toRange(model.source, at);
    found.push({ range, color: screenColour(colour.value) });
  });
  return found;
}

/** A picked colour in the notation that stands at `range`, quotes included. */
export function colourPresentations(model: Model, color: Color, range: Range): ColorPresentation[] {
  const lines = model.source.text.split("\n");
  const written = lines[range.start.line]?.slice(range.start.character, range.end.character) ?? "";
  const newText = /^['"]?lab\(/.test(written) ? labText(color, written) : hexText(color, written);
  return [{ label: newText.replace(/^['"]|['"]$/g, ""), textEdit: { range, newText } }];
}

/** `#rrggbb` of a colour as a screen shows it. */
export function hexOf(colour: Colour): string {
  const { r, g, b } = linearFromLab(colour.lab);
  return `#${[r, g, b].map((v) => byteFromLinear(v).toString(16).padStart(2, "0")).join("")}`;
}

function screenColour(colour: Colour): Color {
  const { r, g, b } = linearFromLab(colour.lab);
  return {
    red: byteFromLinear(r) / 255,
    green: byteFromLinear(g) / 255,
    blue: byteFromLinear(b) / 255,
    alpha: 1,
  };
}

function hexText({ red, green, blue }: Color, written: string): string {
  const digits = [red, green, blue]
    .map((v) =>
      Math.round(v * 255)
        .toString(16)
        .padStart(2, "0"),
    )
    .join("");
  const quote = written.startsWith("'") ? "'" : '"';
  return `${quote}#${/[A-F]/.test(written) ? digits.toUpperCase() : digits}${quote}`;
}

function labText({ red, green, blue }: Color, written: string): string {
  const lab = labFromLinear({ r: linearFromSrgb(red), g: linearFromSrgb(green), b: linearFromSrgb(blue) });
  const digits = Math.max(0, ...[...written.matchAll(/\.(\d+)/g)].map(([, d = ""]) => d.length));
  const number = (v: number) => String(Number(v.toFixed(digits)));
  const quote = /^['"]/.exec(written)?.[0] ?? "";
  return `${quote}lab(${[lab.L, lab.a, lab.b].map(number).join(" ")})${quote}`;
}
