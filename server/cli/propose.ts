import { basename, dirname } from "node:path";
import { MM_PER_INCH } from "../engine/units.ts";
import { printable } from "../language/printable.ts";
import { parseColour } from "../language/values/colour.ts";
import { parseLength } from "../language/values/length.ts";
import { parseName } from "../language/values/name.ts";
import { counted } from "../language/words.ts";
import { Staging } from "../output/staging.ts";
import type { GarmentColour } from "../propose/job.ts";
import { uniqueNames } from "../propose/names.ts";
import { type PlateSetProposal, proposeForPlates } from "../propose/plate-set-job.ts";
import type { Proposal } from "../propose/proposal.ts";
import { pixelsAcross, propose as proposal } from "../propose/propose.ts";
import { ProposalError, type ProposalRequest, STYLES, type Style } from "../propose/request.ts";
import {
  type Command,
  type Console,
  type ExitStatus,
  oneOf,
  onlyPath,
  optionalNumber,
  requiredText,
  UsageError,
  type Values,
} from "./command.ts";
import { startProgress } from "./progress.ts";

export const propose: Command = {
  name: "propose",
  usage:
    "ARTWORK | PLATES… --out FILE.sep.yaml [--shop FILE] [--garments COLOURS] [--plates N] [--style ranges|solve|index] [--width 12in] [--free-inks] [--from-plates] [--look] [--format text|json] [--force]",
  does: 'write a first recipe for new artwork, or for plates that somebody else made (several files, or --from-plates): inks, plates, underbase, order; --garments takes "#17171a,#f4f3ef" or black=#17171a,…, --plates the most beside the underbase; --look only says how many pixels lie across what prints',
  options: {
    out: { type: "string" },
    shop: { type: "string" },
    garments: { type: "string" },
    plates: { type: "string" },
    style: { type: "string" },
    width: { type: "string" },
    "free-inks": { type: "boolean", default: false },
    "from-plates": { type: "boolean", default: false },
    look: { type: "boolean", default: false },
    format: { type: "string", default: "text" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, files) {
    const fromPlates = values["from-plates"] === true || positionals.length > 1;
    const artworkFile = fromPlates ? positionals[0] : onlyPath(positionals, "artwork");
    if (artworkFile === undefined) throw new UsageError("artwork is missing");
    const isLook = values.look === true;
    if (fromPlates && (values.plates !== undefined || values.style !== undefined || isLook))
      throw new UsageError(
        "--plates, --style and --look are for artwork; plates that are made already are taken as they are",
      );
    const out = isLook ? "look.sep.yaml" : requiredText(values, "out");
    if (!/\.sep\.ya?ml$/i.test(out))
      throw new UsageError(`--out takes the name of a recipe, *.sep.yaml, not "${out}"`);
    const write = FORMATS[String(values.format)];
    if (!write) throw new UsageError(`--format takes ${oneOf(Object.keys(FORMATS))}, not "${values.format}"`);
    const plates = optionalNumber(values, "plates", 1, 12);
    if (plates !== undefined && !Number.isInteger(plates))
      throw new UsageError("--plates takes a whole number");
    const request = {
      artworkFile,
      recipeFile: out,
      shopFile: typeof values.shop === "string" ? values.shop : undefined,
      garments: garmentsOf(values.garments),
      plates,
      style: styleOf(values.style),
      widthMm: widthOf(values.width),
      freeInks: values["free-inks"] === true,
      files,
    };
    if (isLook) return told(console, () => look(request, values.format === "json", console));
    const progress = startProgress(console);
    const staging = await Staging.open(dirname(out), { force: values.force === true });
    return told(console, async () => {
      try {
        await staging.claim([basename(out)]);
        const asked = { ...request, onProgress: progress.part(`looking at ${artworkFile}`, 0, 1) };
        const made = fromPlates ? await proposeForPlates(asked, positionals) : await proposal(asked);
        progress.end();
        await staging.write(basename(out), made.text);
        await staging.commit();
        write(made, artworkFile, out, console);
        return 0;
      } catch (error) {
        progress.end();
        staging.discard();
        throw error;
      }
    });
  },
};

/** A request that cannot be served is told in its line. */
async function told(console: Console, work: () => Promise<ExitStatus>): Promise<ExitStatus> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof ProposalError)) throw error;
    console.err.write(`${printable(error.message)}\n`);
    return 1;
  }
}

/** Writes nothing. */
async function look(
  request: Omit<ProposalRequest, "onProgress">,
  asJson: boolean,
  console: Console,
): Promise<ExitStatus> {
  const pixels = await pixelsAcross({ ...request, onProgress: () => {} });
  if (asJson) console.out.write(`${JSON.stringify({ pixels: pixels ?? null })}\n`);
  else
    console.out.write(
      `${printable(request.artworkFile)}: ${pixels === undefined ? "a drawing, sharp at any width" : `${pixels} pixels across what prints`}\n`,
    );
  return 0;
}

const KINDS: Readonly<Record<Proposal["kind"], string>> = {
  flat: "flat art",
  greyscale: "greyscale art",
  tones: "art with tones",
};

type Made = Proposal | PlateSetProposal;

const FORMATS: Readonly<
  Record<string, (made: Made, artwork: string, recipe: string, console: Console) => void>
> = {
  text: (made, artwork, recipe, console) =>
    made.kind === "plates" ? reportSet(made, recipe, console) : report(made, artwork, recipe, console),
  json({ text: _, ...made }, _artwork, recipe, { out }) {
    out.write(`${JSON.stringify({ recipe, ...made }, null, 2)}\n`);
  },
};

function report(made: Proposal, artworkFile: string, out: string, { out: say, err }: Console): void {
  for (const note of made.notes) err.write(`${printable(`${artworkFile}: note: ${note}`)}\n`);
  const inches = Number((made.widthMm / MM_PER_INCH).toFixed(2));
  say.write(`${printable(artworkFile)}: ${KINDS[made.kind]}, ${inches} in wide\n`);
  if (made.curve.length > 0) {
    say.write("plates  mean ΔE00  95 % within   (beside the underbase, by the picture's colours)\n");
    for (const { plates, mean, p95 } of made.curve) {
      const chosen = plates === made.plates ? "  chosen" : "";
      say.write(
        `${String(plates).padStart(6)}  ${mean.toFixed(2).padStart(9)}  ${p95.toFixed(2).padStart(11)}${chosen}\n`,
      );
    }
  }
  say.write(`${counted(made.screens, "screen")}\n`);
  for (const { garment, setup, mean, p95 } of made.proofs)
    say.write(
      `${garment} (setup ${setup}): mean ΔE00 ${mean.toFixed(2)}, 95th percentile ${p95.toFixed(2)}\n`,
    );
  say.write(`  ${printable(out)}\n`);
}

function reportSet(made: PlateSetProposal, out: string, { out: say, err }: Console): void {
  for (const note of made.notes) err.write(`${printable(`note: ${note}`)}\n`);
  const inches = Number((made.widthMm / MM_PER_INCH).toFixed(2));
  say.write(`${counted(made.plates, "plate")} from elsewhere, ${inches} in wide\n`);
  for (const question of made.questions) say.write(`question: ${printable(question)}\n`);
  say.write(`${counted(made.screens, "screen")}\n  ${printable(out)}\n`);
}

/** Black garment where none is named. */
const DEFAULT_GARMENTS = "black=#17171a";

/** Colours with or without names: `#17171a,white=#f4f3ef`. */
function garmentsOf(option: Values[string]): GarmentColour[] {
  const parts = (typeof option === "string" ? option : DEFAULT_GARMENTS)
    .split(",")
    .map((part) => part.trim());
  const read = parts.map((part) => {
    const [first = "", second] = part.split(/=(.*)/s);
    const text = (second ?? first).trim();
    const colour = parseColour(text);
    if (!colour.ok) throw new UsageError(`--garments: ${colour.problem}`);
    if (second === undefined) return { name: undefined, colour: text, lab: colour.value.lab };
    const name = parseName(first.trim());
    if (!name.ok) throw new UsageError(`--garments: ${name.problem}`);
    return { name: name.value, colour: text, lab: colour.value.lab };
  });
  const given = read.flatMap(({ name }) => name ?? []);
  const twice = given.find((name, i) => given.indexOf(name) !== i);
  if (twice !== undefined) throw new UsageError(`--garments names "${twice}" twice`);
  const unnamed = uniqueNames(
    read.flatMap(({ name, lab }) => (name === undefined ? [lab] : [])),
    given,
  );
  let next = 0;
  return read.map(({ name, colour, lab }) => ({ name: name ?? unnamed[next++]!, colour, lab }));
}

function styleOf(option: Values[string]): Style | undefined {
  if (option === undefined) return undefined;
  const style = STYLES.find((known) => known === option);
  if (!style) throw new UsageError(`--style takes ${STYLES.join(" or ")}, not "${option}"`);
  return style;
}

function widthOf(option: Values[string]): number | undefined {
  if (typeof option !== "string") return undefined;
  const length = parseLength(option);
  if (!length.ok) throw new UsageError(`--width: ${length.problem}`);
  if (length.value < 5) throw new UsageError(`--width: ${option} is too narrow to print; 5 mm at least`);
  return length.value;
}
