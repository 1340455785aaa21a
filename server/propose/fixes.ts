import { atPreviewSize, lookAt } from "../jobs/look.ts";
import { canBePrinted, openJob, withText } from "../jobs/open.ts";
import type { Finding } from "../language/finding.ts";
import type { Print } from "../render/print.ts";
import type { OnProgress } from "../render/progress.ts";
import type { StageCache } from "../render/stage-cache.ts";
import type { Draft, DraftAllowance, DraftPlate } from "./draft.ts";
import type { ProposalRequest } from "./request.ts";
import { recipeText } from "./text.ts";

/** A recipe's text as its own check sees it. */
export interface Checked {
  readonly text: string;
  readonly print: Print;
  /** Errors and warnings that nothing allows, and that a proposal can mend or must allow. */
  readonly standing: readonly Finding[];
  /** What the print lacks of the artwork: told, and never allowed. */
  readonly lost: readonly string[];
}

/** Runs the check that a user would run, on text that does not stand on disk yet. Throws where it cannot be read. */
export async function checked(
  draft: Draft,
  request: ProposalRequest,
  cache: StageCache,
  onProgress: OnProgress,
): Promise<Checked> {
  const text = recipeText(draft);
  const { recipeFile, files } = request;
  const job = await openJob(recipeFile, withText(files, recipeFile, text));
  if (!canBePrinted(job)) {
    const wrong = job.findings.find(({ level }) => level === "error");
    throw new Error(`the proposal cannot be read: ${wrong?.message}\n${text}`);
  }
  const { print, findings } = await lookAt(job, atPreviewSize(cache), onProgress);
  const found = findings.filter(({ level, allowed }) => level !== "note" && allowed === undefined);
  const isLoss = ({ rule }: Finding) => LOSSES.includes(rule);
  return {
    text,
    print,
    standing: found.filter((finding) => !isLoss(finding)),
    lost: findings.filter(isLoss).map(({ message }) => message),
  };
}

/** The rules that speak of colours that are missing from the shirt, or other than the customer's. */
const LOSSES: readonly string[] = ["unprinted-artwork", "missed-colour"];

/** What a draft becomes after a finding: another draft, or plates that are not worth their screens. */
export interface FixedDraft {
  readonly draft: Draft;
  /** Plates to be left out, and the choice made again. */
  readonly drop: readonly string[];
}

/** Reasons for what only the customer or the shop can mend, by rule. */
const NOT_OURS: Readonly<Record<string, string>> = {
  "artwork-coarse": "the customer's file has no more pixels; ask for a larger one",
  "artwork-file": "so the customer's file is; ask for a clean one",
  "soft-edge": "so the artwork is drawn; ask for hard edges if dots on the garment are not wanted",
  "backdrop-box": "the background is taken for part of the picture",
  "eaten-lines": "so fine are the artwork's lines, and the choke is no more than the press is off",
  "print-size": "so wide was it asked for",
  "base-under-black": "halftones of the dark plate need the white, or the garment would show through them",
  "thin-halftone": "so fine is the artwork",
  stations: "so many plates were asked for",
  "flash-heads": "the press has no flash unit for it; flash on another station",
  "film-steps": "the shop's own screening",
  "mesh-ruling": "the shop's own mesh and ruling",
  "underbase-mesh": "the shop's own mesh",
  "ink-deposit": "the shop's own mesh",
  "dots-under-mesh": "the shop's own mesh",
  moire: "the shop's own mesh and ruling",
  "plate-moire": "the shop's own angles",
  "measured-elsewhere": "the shop's own figures; a target sheet on that mesh gives better ones",
  "unsteady-colour": "the shop's own ruling and register",
};

/** Angles that mesh makers name, tried in turn where the usual one beats with the mesh. */
const ANGLES = [22.5, 7.5, 52.5, 82.5, 15, 30, 67.5];

/** Rounds in which plates are turned away from one another; where that does not end, it is the shop's screening. */
const TURNS = 3;

/** One step of mending all that stands. */
export function fixed(draft: Draft, standing: readonly Finding[], round: number): FixedDraft {
  let next = draft;
  const drop: string[] = [];
  for (const { rule, path, message, data } of standing) {
    const plate = path[0] === "plates" ? String(path[1]) : undefined;
    if (rule === "needless-base" && plate !== undefined && !message.includes("lightness")) {
      const darkest = next.plates.find(({ name }) => name === plate)!;
      if (darkest.extract.lightness === undefined) {
        const extract = { ...darkest.extract, lightness: [16, 100], fade: 10 } as typeof darkest.extract;
        next = { ...next, plates: next.plates.map((p) => (p.name === plate ? { ...p, extract } : p)) };
        continue;
      }
    }
    if (["near-empty-plate", "twin-plates", "far-ink", "close-inks"].includes(rule) && plate !== undefined) {
      if (next.plates.find(({ name }) => name === plate)?.purpose !== "underbase") {
        drop.push(plate);
        continue;
      }
    }
    if (rule === "moire") {
      const tried = next.screening?.angle ?? 22.5;
      const angle = ANGLES[ANGLES.indexOf(tried) + 1];
      if (angle !== undefined && round < ANGLES.length) {
        next = { ...next, screening: { ...next.screening, angle } };
        continue;
      }
    }
    if ((rule === "unsteady-colour" || rule === "plate-moire") && data?.angle && round < TURNS) {
      const { plates: names, angle } = data.angle;
      next = { ...next, plates: next.plates.map((p) => (names.includes(p.name) ? turned(p, angle) : p)) };
      continue;
    }
    if (rule === "mesh-ruling" && data?.mesh) {
      const { plate: name, mesh } = data.mesh;
      next = { ...next, plates: next.plates.map((p) => (p.name === name ? { ...p, mesh } : p)) };
      continue;
    }
    if (rule === "idle-allowance") {
      // What was allowed has gone with another mending; what still stands is allowed again.
      const named = /"([a-z-]+)"/.exec(message)?.[1];
      next = { ...next, allowances: next.allowances.filter((allowed) => allowed.rule !== named) };
      continue;
    }
    const added = allowance(rule, path);
    // One comment covers all that a rule finds in its place; a second one would be idle.
    if (next.allowances.some(({ part, rule: other }) => part === added.part && other === rule)) continue;
    next = { ...next, allowances: [...next.allowances, added] };
  }
  return { draft: next, drop };
}

/** A plate at an angle of its own, so that its dots nest with no others, and the reader of the recipe knows why. */
function turned(plate: DraftPlate, angle: number): DraftPlate {
  const comment = `${plate.comment} At ${angle}°, so that its colours come out alike from print to print.`;
  return { ...plate, screening: { ...plate.screening, angle }, comment };
}

function allowance(rule: string, path: readonly (string | number)[]): DraftAllowance {
  const [head = "", second] = path;
  const part =
    head === "artwork" || head === "screening" || second === undefined ? head : `${head}.${second}`;
  return {
    part: String(part),
    rule,
    reason: NOT_OURS[rule] ?? "the proposal found no better way; look at it",
  };
}
