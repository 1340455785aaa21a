import { basename, dirname, resolve } from "node:path";
import { type TuneRequest, type Tuning, tuneRecipe } from "../jobs/tune.ts";
import { sentence } from "../language/changes/changes.ts";
import { printable } from "../language/printable.ts";
import { suggestion } from "../language/suggest.ts";
import { tunablePlates } from "../language/tunable.ts";
import { counted } from "../language/words.ts";
import { replaceFile } from "../output/replace-file.ts";
import { reviewText } from "../output/review/text.ts";
import { Staging } from "../output/staging.ts";
import { type Command, onlyPath, optionalNumber, UsageError, type Values } from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { startProgress } from "./progress.ts";

const SECONDS = 20;
const NUMBERS = 40;

export const tune: Command = {
  name: "tune",
  usage:
    "RECIPE [--plates NAMES] [--garments NAMES] [--seconds 20] [--numbers 40] [--strengths] [--out FILE.sep.yaml [--force] | --write | --format json]",
  does: "move the recipe's own ranges, fades and curves so that its proofs come nearer to the artwork, and show what changes; --strengths adds curves of strength, --write writes it. A comment `# fixed` holds numbers",
  options: {
    plates: { type: "string" },
    garments: { type: "string" },
    seconds: { type: "string" },
    numbers: { type: "string" },
    strengths: { type: "boolean", default: false },
    out: { type: "string" },
    force: { type: "boolean", default: false },
    write: { type: "boolean", default: false },
    format: { type: "string", default: "text" },
  },
  async run(positionals, values, console, disk) {
    const file = onlyPath(positionals, "recipe");
    const out = outOf(values, file);
    if (values.format !== "text" && values.format !== "json")
      throw new UsageError(`--format takes text or json, not "${values.format}"`);
    const seconds = optionalNumber(values, "seconds", 1, 600) ?? SECONDS;
    const numbers = optionalNumber(values, "numbers", 1, 1000) ?? NUMBERS;
    const job = await openRecipe(file, console, disk);
    if (typeof job === "number") return job;
    const plates = namesOf(values, "plates", tunablePlates(job.recipe));
    const chosen = namesOf(values, "garments", [...job.recipe.garments.keys()]);
    const garments = chosen && new Map(chosen.map((name) => [name, 1]));
    const strengths = values.strengths === true;
    const staging =
      out === undefined ? undefined : await Staging.open(dirname(out), { force: values.force === true });
    const progress = startProgress(console);
    try {
      await staging?.claim([basename(out!)]);
      const onProgress = progress.part(`tuning ${file}`, 0, 1);
      const request: TuneRequest = { job, plates, garments, seconds, numbers, strengths, onProgress };
      const tuned = await tuneRecipe(request);
      progress.end();
      if (values.format === "json") {
        console.out.write(`${JSON.stringify(tunedJson(tuned), null, 2)}\n`);
        staging?.discard();
        return 0;
      }
      if ("untouched" in tuned) {
        console.out.write(`${printable(`${file} is left as it is: ${tuned.untouched}`)}\n`);
        console.out.write(leftText(tuned.left));
        staging?.discard();
        return 0;
      }
      const { text, review } = tuned;
      await staging?.write(basename(out!), text);
      await staging?.commit();
      console.out.write(reviewText(review));
      console.out.write(leftText(tuned.left));
      console.out.write(`\n${counted(tuned.numbers, "number")} changed, `);
      if (out !== undefined) console.out.write(`written to ${printable(out)}\n`);
      else if (values.write === true) {
        await replaceFile(file, text);
        console.out.write(`written to ${printable(file)}\n`);
      } else console.out.write(`nothing is written yet; add --write to change ${printable(file)}\n`);
      return 0;
    } catch (error) {
      progress.end();
      staging?.discard();
      throw error;
    }
  },
};

/** What a program needs to show the change and to make it; nothing is written. */
function tunedJson(tuned: Tuning): object {
  if ("untouched" in tuned) return tuned;
  const { text, numbers, left, review } = tuned;
  const said = review.said.filter(({ prints }) => prints).map(sentence);
  const garments = review.figures?.garments.map(({ garment, setup, before, after }) => ({
    garment,
    setup,
    before: before?.mean,
    after: after?.mean,
  }));
  return { text, numbers, said, garments, left };
}

function leftText(lines: readonly string[] = []): string {
  return lines.length > 0 ? `\nwhat is left\n${lines.map((line) => `  ${printable(line)}\n`).join("")}` : "";
}

/** Paths in a recipe go from its folder, so that another one must stand there too. */
function outOf(values: Values, file: string): string | undefined {
  const { out } = values;
  if (typeof out !== "string") return undefined;
  if (values.write === true) throw new UsageError("--out and --write are two ways to write; name one");
  if (values.format === "json") throw new UsageError("--format json writes nothing; leave --out away");
  if (!/\.sep\.ya?ml$/i.test(out))
    throw new UsageError(`--out takes the name of a recipe, *.sep.yaml, not "${out}"`);
  if (resolve(dirname(out)) !== resolve(dirname(file)))
    throw new UsageError("--out takes a file beside the recipe, whose paths go from its folder");
  return out;
}

function namesOf(values: Values, option: string, known: readonly string[]): string[] | undefined {
  const text = values[option];
  if (typeof text !== "string") return undefined;
  const names = text.split(",").map((name) => name.trim());
  const strange = names.find((name) => !known.includes(name));
  if (strange !== undefined)
    throw new UsageError(
      `--${option}: there is no "${strange}" to tune${suggestion(strange, known, "there are")}`,
    );
  return names;
}
