import sax from "sax";
import { labFromSpectrum } from "../../engine/print/observer.ts";
import { sampleName } from "../../engine/target/samples.ts";
import type { Cgats, CgatsProblem, CgatsRow } from "./cgats.ts";
import { resampled } from "./samples.ts";

/**
 * Colour measurements as CxF3 XML (ISO 17972-1) and spot inks in it (ISO 17972-4, CxF/X-4), as the same table that CGATS
 * text becomes: SAMPLE_NAME and CIELAB. A spot ink's tints over its substrate are a ramp, its solids are solids over a
 * white and a black card. Nothing outside of the text is loaded; what is wrong is collected with its line.
 */
export function parseCxf(text: string): Cgats {
  const problems: CgatsProblem[] = [];
  const objects = new Map<string, CxfObject>();
  const specifications = new Map<string, Specification>();
  const tints: { ink: string; black: boolean; tint: number; ref: string; line: number }[] = [];
  const open: string[] = [];
  let object: CxfObject | undefined;
  let specification: Specification | undefined;
  let spectrum: { start: number | undefined; spec: string; values: string; line: number } | undefined;
  let ink = "";
  let black = false;
  let words = "";
  const fail = (line: number, message: string) => problems.push({ level: "error", line, column: 1, message });

  const xml = sax.parser(true);
  xml.onerror = (error) => {
    if (problems.length === 0) fail(xml.line + 1, `this is no XML: ${error.message.split("\n")[0]}`);
  };
  xml.ondoctype = () => fail(xml.line + 1, "a document type stands here; CxF3 has none");
  xml.onopentag = ({ name, attributes }) => {
    const tag = local(name);
    open.push(tag);
    words = "";
    const line = xml.line + 1;
    if (tag === "Object") {
      object = { name: attributes.Name ?? "", id: attributes.Id ?? "", line, lab: {}, spec: "" };
    } else if (tag === "ColorSpecification") {
      specification = {};
      specifications.set(attributes.Id ?? "", specification);
    } else if (tag === "WavelengthRange" && specification) {
      specification.start = Number(attributes.StartWL);
      specification.step = Number(attributes.Increment);
    } else if (tag === "ReflectanceSpectrum" && object) {
      const start = attributes.StartWL === undefined ? undefined : Number(attributes.StartWL);
      spectrum = { start, spec: attributes.ColorSpecification ?? "", values: "", line };
    } else if (tag === "ColorCIELab" && object) {
      object.spec = attributes.ColorSpecification ?? "";
    } else if (tag === "SpotInkCharacterisation") {
      ink = attributes.SpotInkName ?? "";
    } else if (tag === "MeasurementSet") {
      black = /black/i.test(attributes.Background ?? "");
    } else if (tag === "Measurement") {
      const tint = Number(Object.entries(attributes).find(([key]) => /^Tint/i.test(key))?.[1]);
      tints.push({ ink, black, tint, ref: attributes.ObjectRef ?? "", line });
    }
  };
  xml.ontext = (piece) => {
    words += piece;
  };
  xml.onclosetag = (name) => {
    const tag = local(name);
    open.pop();
    if (tag === "ReflectanceSpectrum" && spectrum && object) {
      object.spectrum = { ...spectrum, values: words };
      spectrum = undefined;
    } else if ((tag === "L" || tag === "A" || tag === "B") && open.at(-1) === "ColorCIELab" && object) {
      object.lab[tag] = Number(words);
    } else if ((tag === "Illuminant" || tag === "Observer") && specification) {
      specification[tag] = words.trim();
    } else if (tag === "Object" && object) {
      objects.set(object.id || object.name || String(objects.size), object);
      object = undefined;
    } else if (tag === "ColorSpecification") {
      specification = undefined;
    }
    words = "";
  };
  try {
    xml.write(text.replace(/^\ufeff/, "")).close();
  } catch (error) {
    // The parser throws what it has told of already.
    if (problems.length === 0) throw error;
  }
  if (problems.length > 0) return { header: new Map(), fields: [], rows: [], problems };

  const rows: CgatsRow[] = [];
  const add = (name: string, from: CxfObject) => {
    const lab = labOf(from, specifications);
    if (typeof lab === "string") {
      if (lab) fail(from.line, lab);
      return;
    }
    const values = [name, ...lab.map(String)].map((value) => ({ text: value, line: from.line, column: 1 }));
    rows.push({ line: from.line, values });
  };
  for (const from of objects.values()) add(from.name, from);
  for (const { ink: spot, black: over, tint, ref, line } of tints) {
    const from = objects.get(ref);
    if (!from || !Number.isFinite(tint)) {
      fail(line, `the measurement of ${spot} names no tint, or no object that is there (${ref})`);
      continue;
    }
    // Names of inks have no blanks here; a spot ink's are made hyphens.
    const ours = spot.trim().replace(/\s+/g, "-");
    if (!over)
      add(sampleName({ kind: "patch", ink: ours, screen: "tints", tone: tint, over: "garment" }), from);
    if (tint === 100)
      add(
        sampleName({ kind: "patch", ink: ours, tone: 100, over: over ? "black card" : "white card" }),
        from,
      );
  }
  if (rows.length === 0 && problems.length === 0)
    fail(1, "no object with a colour: this is no CxF3 file of measurements");
  return { header: new Map(), fields: ["SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"], rows, problems };
}

/** Whether a text is XML rather than CGATS. */
export function isXml(text: string): boolean {
  return /^\ufeff?\s*</.test(text);
}

interface CxfObject {
  readonly name: string;
  readonly id: string;
  readonly line: number;
  readonly lab: { L?: number; A?: number; B?: number };
  /** The colour specification of `lab`. */
  spec: string;
  spectrum?: {
    readonly start: number | undefined;
    readonly spec: string;
    readonly values: string;
    readonly line: number;
  };
}

interface Specification {
  start?: number;
  step?: number;
  Illuminant?: string;
  Observer?: string;
}

/** CIELAB under D50 and 2°: from reflectances, else as it stands there. What is wrong in words; "" where there is no colour. */
function labOf(
  { lab, spec, spectrum }: CxfObject,
  specifications: ReadonlyMap<string, Specification>,
): readonly [number, number, number] | string {
  if (spectrum) {
    const { start: first, step = 10 } = specifications.get(spectrum.spec) ?? {};
    const start = spectrum.start ?? first;
    const values = spectrum.values.trim().split(/\s+/).map(Number);
    if (start === undefined || !(start >= 200 && start <= 1000) || !(step > 0))
      return "the reflectances' first wavelength is not said";
    if (values.length < 3 || values.some((v) => !Number.isFinite(v)))
      return "the reflectances are no list of numbers";
    const { L, a, b } = labFromSpectrum(
      resampled(
        values.map((_, i) => start + i * step),
        values,
      ),
    );
    return [L, a, b];
  }
  const { L, A, B } = lab;
  if (L === undefined || A === undefined || B === undefined) return "";
  if (![L, A, B].every(Number.isFinite) || L < 0 || L > 105) return "L, A and B are no CIELAB colour";
  const { Illuminant = "D50", Observer = "2" } = specifications.get(spec) ?? {};
  if (!/^D50$/i.test(Illuminant) || !/^2/.test(Observer))
    return `the colours are measured under ${Illuminant}, ${Observer}; D50 and the 2° observer are needed, or reflectances`;
  return [Math.min(100, L), A, B];
}

function local(name: string): string {
  return name.slice(name.indexOf(":") + 1);
}
