import type { Hover } from "vscode-languageserver-types";
import { isCollection, isScalar } from "yaml";
import type { Curve } from "../engine/adjust/curve.ts";
import { inkVolume, openArea } from "../engine/press/mesh.ts";
import { type Place, placeAt } from "../language/cursor.ts";
import type { Path } from "../language/finding.ts";
import { blocksOf, type Fields, fieldsOf, listOf, textsOf } from "../language/partial-data.ts";
import { schemaAt } from "../language/schema.ts";
import { valueAt } from "../language/shop-change.ts";
import type { SymbolKind } from "../language/symbols.ts";
import { type Colour, parseColour } from "../language/values/colour.ts";
import { parseLength } from "../language/values/length.ts";
import { percentage } from "../language/words.ts";
import { ABOUT_RULES } from "../rules/all.ts";
import { type Model, type OpenDocument, toRange } from "./model.ts";
import { nameAt, occurrences } from "./occurrences.ts";
import { curveDrawing, swatch, toneBars } from "./swatch.ts";

/** What is known of the thing under the cursor: a name, or a key of the format. */
export function hover(model: Model, offset: number): Hover | undefined {
  const name = nameAt(model, offset);
  if (name) {
    const home = occurrences(model, name).find(({ defines }) => defines)?.doc;
    const text = home && describe(model, home, name.at.kind, name.at.name);
    if (text) return { contents: markdown(text), range: toRange(model.source, name.at.range) };
  }
  const place = placeAt(model.source, offset);
  const text = aboutPlace(model, place);
  const range = place.on === "key" ? place.key : place.value;
  return text && range ? { contents: markdown(text), range: toRange(model.source, range) } : undefined;
}

function describe(model: Model, home: OpenDocument, kind: SymbolKind, name: string): string | undefined {
  switch (kind) {
    case "ink":
      return inkText(home, name);
    case "garment":
      return garmentText(home, name);
    case "plate":
      return plateText(model, name);
    case "setup":
      return setupText(home, name);
    case "mesh":
      return meshText(home, name);
    case "print":
      return printText(home, name);
    case "size":
      return sizeText(home, name);
  }
}

function inkText(home: OpenDocument, name: string): string | undefined {
  const ink = entry(home, "inks", name);
  const readings = fieldsOf(ink?.readings);
  const colour = colourOf(ink) ?? colourOf({ colour: ink?.["over-white"] });
  const lines = [`**ink ${escaped(name)}**`];
  if (colour) lines.push(swatch(colour), labLine(colour));
  if (typeof readings.file === "string") lines.push(`measured in ${escaped(readings.file)}`);
  else if (ink?.["over-white"] !== undefined) lines.push("measured over white and over black");
  if (typeof ink?.opacity === "string") lines.push(`opacity (contrast ratio) ${escaped(ink.opacity)}`);
  const told = [ink?.kind, ink?.density].filter((part) => typeof part === "string").map(String);
  if (told.length > 0) lines.push(escaped(told.join(", ")));
  const mix = Object.entries(fieldsOf(ink?.mix)).map(([part, parts]) => `${part} ${parts}`);
  if (mix.length > 0) lines.push(`mixed of ${escaped(mix.join(", "))} by weight`);
  if (home.source.kind === "shop") lines.push("from the shop's ink library");
  return lines.join("\n\n");
}

function garmentText(home: OpenDocument, name: string): string | undefined {
  const garment = entry(home, "garments", name);
  const colour = colourOf(garment);
  const left = colourOf({ colour: garment?.discharged });
  const material = [garment?.fabric, garment?.weight].filter((part) => typeof part === "string").map(String);
  return [
    `**garment ${escaped(name)}**`,
    ...(colour ? [swatch(colour), labLine(colour)] : []),
    ...(material.length > 0 ? [escaped(material.join(", "))] : []),
    ...(left ? ["discharges to", swatch(left), labLine(left)] : []),
    setupsLine(home, "garments", name),
  ].join("\n\n");
}

function plateText(model: Model, name: string): string {
  const plate = entry(model, "plates", name);
  const lines = [
    `**plate ${escaped(name)}**${typeof plate?.ink === "string" ? `, ink ${escaped(plate.ink)}` : ""}`,
  ];
  const merge = listOf(model.source.value, "merges").find(([, { fold }]) => fold === name)?.[1];
  const measured = model.measurements?.plates.get(name);
  if (measured) {
    lines.push(
      `![the plate, black = full ink](${measured.thumbnail})`,
      `coverage ${percentage(measured.coverage, 1)}`,
      toneBars(measured.histogram),
    );
  }
  for (const { plate: own, under, trapMm, lengthMm } of model.measurements?.trapped ?? [])
    if (own === name)
      lines.push(
        `spread under ${escaped(under)} by ${Number(trapMm.toFixed(3))} mm, along ${Math.round(lengthMm)} mm`,
      );
  lines.push(
    merge
      ? `folded into ${escaped(String(merge.into))}: no screen of its own`
      : setupsLine(model, "order", name),
  );
  return lines.join("\n\n");
}

function setupText(home: OpenDocument, name: string): string {
  const setup = entry(home, "setups", name);
  const steps = texts(setup?.order).map((step, i) => `${i + 1}. ${escaped(step)}`);
  return [
    `**setup ${escaped(name)}**, on ${texts(setup?.garments).map(escaped).join(", ") || "no garment"}`,
    steps.join("\n"),
  ].join("\n\n");
}

function meshText(home: OpenDocument, name: string): string {
  const mesh = entry(home, "meshes", name);
  const lines = [`**mesh ${escaped(name)}**`];
  if (typeof mesh?.count === "string") lines.push(`${escaped(mesh.count)} threads`);
  const [opening, thread, thickness] = [mesh?.opening, mesh?.thread, mesh?.thickness].map((text) => {
    const length = typeof text === "string" ? parseLength(text) : undefined;
    return length?.ok ? length.value : undefined;
  });
  if (opening !== undefined && thread !== undefined) {
    lines.push(`open area ${percentage(openArea({ opening, thread }))}`);
    if (thickness !== undefined)
      lines.push(
        `theoretical ink volume ${Math.round(inkVolume({ opening, thread, thickness }))} cm³/m² (an estimate)`,
      );
  }
  return lines.join("\n\n");
}

function printText(home: OpenDocument, name: string): string {
  const { recipe, width, place } = fieldsOf(entry(home, "prints", name));
  const garments = listOf(home.source.value, "lines").flatMap(([, line]) =>
    texts(line.prints).includes(name) ? Object.values(fieldsOf(line.sizes)) : [],
  );
  const count = garments.reduce<number>((sum, n) => sum + (typeof n === "number" ? n : 0), 0);
  return [
    `**print ${escaped(name)}**${typeof place === "string" ? `, ${escaped(place)}` : ""}`,
    ...(typeof recipe === "string" ? [escaped(recipe)] : []),
    ...(typeof width === "string" ? [`${escaped(width)} wide`] : []),
    `${count} garments`,
  ].join("\n\n");
}

function sizeText(home: OpenDocument, name: string): string {
  const { width, height } = fieldsOf(entry(home, "sizes", name));
  const known = typeof width === "string" && typeof height === "string";
  return [
    `**size ${escaped(name)}**`,
    ...(known ? [`${escaped(width)} × ${escaped(height)}, laid flat`] : []),
  ].join("\n\n");
}

function setupsLine(doc: OpenDocument, list: "order" | "garments", name: string): string {
  const places = blocksOf(doc.source.value, "setups").flatMap(([setup, fields]) => {
    const at = texts(fields[list]).indexOf(name);
    if (at < 0) return [];
    return list === "order" ? `${escaped(setup)} (station ${at + 1})` : escaped(setup);
  });
  return places.length > 0 ? `printed by ${places.join(", ")}` : "in no setup";
}

function aboutPlace({ source }: Model, { path, node, on }: Place): string | undefined {
  const step =
    path[0] === "setups" && path[2] === "order" && isScalar(node) ? stepText(node.value) : undefined;
  if (step) return step;
  // Between the parts of a block there are blanks and comments.
  if (on !== "key" && isCollection(node)) return undefined;
  const schema = schemaAt(source.kind, path);
  if (!schema?.description) return undefined;
  const key = path.at(-1);
  const rule = source.kind === "shop" && path[0] === "rules" && ABOUT_RULES.find(({ id }) => id === key);
  if (rule) return `**${escaped(rule.id)}**, ${rule.level} by itself\n\n${rule.why}\n\n${rule.source}`;
  const title = typeof key === "string" ? `**${escaped(key)}**\n\n` : "";
  const choices = schema.enum ? `\n\none of ${schema.enum.map((choice) => `\`${choice}\``).join(", ")}` : "";
  const [example] = schema.examples ?? [];
  const shown =
    typeof example === "string" || typeof example === "number" ? `\n\nfor example \`${example}\`` : "";
  return title + schema.description + choices + (choices ? "" : shown) + curveAt(source.value, path);
}

/** What curves go over at most, by their key: tone in, L*, C*ab. */
const CURVES: Readonly<Record<string, number>> = { curve: 100, lightness: 100, chroma: 150 };

/** A tone curve or a curve of strength, drawn, where the key holds one that is sound. */
function curveAt(data: unknown, path: Path): string {
  const key = String(path.at(-1));
  const value = valueAt(data, path);
  if (!Object.hasOwn(CURVES, key) || !isCurve(value)) return "";
  return `\n\n${curveDrawing(value, CURVES[key]!)}`;
}

/** Pairs of numbers, the first of them rising. A range of lightness is no curve: its entries are no pairs. */
function isCurve(value: unknown): value is Curve {
  return (
    Array.isArray(value) &&
    value.length > 1 &&
    value.every(
      (pair: unknown, i) =>
        Array.isArray(pair) &&
        pair.length === 2 &&
        pair.every((part) => Number.isFinite(part)) &&
        (i === 0 || pair[0] > value[i - 1][0]),
    )
  );
}

/** What happens at a station that prints nothing. */
function stepText(step: unknown): string | undefined {
  if (step === "flash")
    return "**flash**, a station of its own\n\nThe ink so far is gelled, dry to the touch, so that what prints on it lies on top instead of mixing with it: behind an underbase, and before an ink over wet ones.";
  if (step === "cool-down")
    return "**cool-down**, a station of its own\n\nThe garment cools behind a flash, so that the next screen's ink does not dry in its mesh.";
  return undefined;
}

function labLine({ lab: { L, a, b } }: Colour): string {
  const [l, aa, bb] = [L, a, b].map((v) => (v < 0 ? "−" : "") + Math.abs(v).toFixed(1));
  return `L* ${l}  a* ${aa}  b* ${bb} (D50)`;
}

function colourOf(fields: Fields | undefined): Colour | undefined {
  const colour = typeof fields?.colour === "string" ? parseColour(fields.colour) : undefined;
  return colour?.ok ? colour.value : undefined;
}

function entry({ source }: OpenDocument, section: string, name: string): Fields | undefined {
  return blocksOf(source.value, section).find(([key]) => key === name)?.[1];
}

function texts(list: unknown): string[] {
  return textsOf(list).map(([, text]) => text);
}

function markdown(value: string) {
  return { kind: "markdown" as const, value };
}

/** What the recipe says is text, never markup. */
function escaped(text: string): string {
  return text.replace(/[\\`*_{}[\]()<>#+!|~-]/g, "\\$&");
}
