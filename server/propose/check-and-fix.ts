import { labFromBytes } from "../engine/colour/cielab.ts";
import { DifferenceMeter } from "../engine/print/difference.ts";
import type { Picture } from "../engine/raster.ts";
import { ONE_JOB_BYTES } from "../jobs/look.ts";
import { StageCache } from "../render/stage-cache.ts";
import { BACKGROUND_WITHIN, type Look, near } from "./artwork.ts";
import type { Draft } from "./draft.ts";
import { type Checked, checked, fixed } from "./fixes.ts";
import type { Proposal } from "./proposal.ts";
import { ProposalError, type ProposalRequest } from "./request.ts";

/** Rounds of check and mending. */
const ROUNDS = 6;
/** Rounds in which inks may be chosen again. */
const CHOICES = 2;

/** Checks a draft and mends what it finds, until nothing stands. */
export async function checkedProposal(
  request: ProposalRequest,
  backdrop: Look["backdrop"],
  start: () => { draft: Draft; again: ((drop: readonly string[]) => Promise<Draft>) | undefined },
): Promise<Pick<Proposal, "text" | "screens" | "proofs">> {
  const cache = new StageCache(ONE_JOB_BYTES);
  const { draft: first, again } = start();
  let draft = first;
  let found: Checked | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    found = await checked(draft, request, cache, (done) =>
      request.onProgress(0.55 + (0.4 * (round + done)) / ROUNDS),
    );
    if (found.standing.length === 0) break;
    const next = fixed(draft, found.standing, round, backdrop?.hex);
    if (next.drop.length > 0 && again && round < CHOICES) draft = await again(next.drop);
    else if (next.drop.length > 0)
      draft = {
        ...next.draft,
        allowances: [
          ...next.draft.allowances,
          ...next.drop.map((name) => ({
            part: `plates.${name}`,
            rule: found!.standing.find(({ path }) => path[1] === name)!.rule,
            reason: again
              ? "small as it is, no other ink prints its colour"
              : "it is one of the artwork's flat colours",
          })),
        ],
      };
    else draft = next.draft;
  }
  if (!found || found.standing.length > 0) {
    const { rule = "", message = "" } = found?.standing[0] ?? {};
    throw new ProposalError(`no recipe was found that its own check passes: ${message} [${rule}]`);
  }
  return { text: found.text, screens: draft.plates.length, proofs: proofsOf(found, backdrop) };
}

function proofsOf({ print }: Checked, backdrop: Look["backdrop"]): Proposal["proofs"] {
  const { recipe, picture, pixels } = print;
  const shown = shownOf(picture, backdrop);
  return [...recipe.setups].flatMap(([setup, { garments }]) =>
    garments.map((garment) => {
      const meter = new DifferenceMeter(recipe.garments.get(garment)!.colour.lab);
      meter.add(shown, 0, pixels, print.proof(garment, setup));
      const { mean, p95 } = meter.result();
      return { garment, setup, mean, p95 };
    }),
  );
}

/** The preview without the backdrop that the recipe leaves out. */
function shownOf(picture: Picture, backdrop: Look["backdrop"]): Picture {
  if (!backdrop) return picture;
  const data = picture.data.slice();
  const known = new Map<number, boolean>();
  for (let at = 0; at < data.length; at += 4) {
    const key = (data[at]! << 16) | (data[at + 1]! << 8) | data[at + 2]!;
    let same = known.get(key);
    if (same === undefined) {
      same = near(labFromBytes(data[at]!, data[at + 1]!, data[at + 2]!), backdrop.lab, BACKGROUND_WITHIN);
      known.set(key, same);
    }
    if (same) data[at + 3] = 0;
  }
  return { ...picture, data };
}
