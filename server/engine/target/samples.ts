/** What a colour patch is printed on: the garment, another ink's solid, or a card that is taped down before the print. */
export type Over = "garment" | "base" | "white card" | "black card";
/** Which way a line runs. */
export type Way = "upright" | "across" | "slanted";

/** One thing to be read from a target sheet. Its name says all of it, so a file of readings needs no sheet beside it. */
export type Sample =
  /** A colour. `screen` is such as `45lpi` or `fm0.12mm`; a solid has none. Tone in percent on film. */
  | {
      readonly kind: "patch";
      readonly ink: string;
      readonly screen?: string;
      readonly tone: number;
      readonly over: Over;
    }
  /** The narrowest line that stands, or gap that is open, in mm. */
  | { readonly kind: "line" | "gap"; readonly ink: string; readonly way: Way }
  /** Where a vernier meets, in mm: how far the ink lies from the first one, to the right or down. */
  | { readonly kind: "register"; readonly ink: string; readonly axis: "x" | "y" };

export type PatchSample = Extract<Sample, { kind: "patch" }>;

const OVERS: readonly Over[] = ["garment", "base", "white card", "black card"];

/** The sample's name, as readings files carry it. */
export function sampleName(sample: Sample): string {
  switch (sample.kind) {
    case "patch":
      return `${sample.ink} ${sample.screen ? `${sample.screen} ${sample.tone}` : sample.tone === 0 ? "bare" : "solid"} over ${sample.over}`;
    case "register":
      return `${sample.ink} register ${sample.axis}`;
    default:
      return `${sample.ink} ${sample.kind} ${sample.way}`;
  }
}

const PATCH = /^(\S+) (?:(bare|solid)|(\S+) (\d+(?:\.\d+)?)) over (garment|base|white card|black card)$/;
const LINE = /^(\S+) (line|gap) (upright|across|slanted)$/;
const REGISTER = /^(\S+) register ([xy])$/;

/** The sample of a name; undefined where it is none of a target sheet's. */
export function sampleOf(name: string): Sample | undefined {
  const patch = PATCH.exec(name);
  if (patch) {
    const [, ink, plain, screen, tone, over] = patch as unknown as string[];
    const where = OVERS.find((o) => o === over)!;
    if (plain) return { kind: "patch", ink: ink!, tone: plain === "bare" ? 0 : 100, over: where };
    return { kind: "patch", ink: ink!, screen: screen!, tone: Number(tone), over: where };
  }
  const line = LINE.exec(name);
  if (line) return { kind: line[2] as "line" | "gap", ink: line[1]!, way: line[3] as Way };
  const register = REGISTER.exec(name);
  return register ? { kind: "register", ink: register[1]!, axis: register[2] as "x" | "y" } : undefined;
}
