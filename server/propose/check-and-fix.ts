import { DifferenceMeter } from "../engine/print/difference.ts";
import { ONE_JOB_BYTES } from "../jobs/look.ts";
import { StageCache } from "../render/stage-cache.ts";
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
  start: () => { draft: Draft; again: ((drop: readonly string[]) => Promise<Draft>) | undefined },
): Promise<Pick<Proposal, "text" | "screens" | "proofs" | "notes">> {
  const cache = new StageCache(ONE_JOB_BYTES);
  const { draft: first, again } = start();
  let draft = first;
  let found: Checked | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    found = await checked(draft, request, cache, (done) =>
      request.onProgress(0.55 + (0.4 * (round + done)) / ROUNDS),
    );
    if (found.standing.length === 0) break;
    const next = fixed(draft, found.standing, round);
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
  return {
    text: found.text,
    screens: draft.plates.length,
    proofs: proofsOf(found),
    notes: found.lost,
  };
}

function proofsOf({ print }: Checked): Proposal["proofs"] {
  const { recipe, picture, pixels } = print;
  return [...recipe.setups].flatMap(([setup, { garments }]) =>
    garments.map((garment) => {
      const meter = new DifferenceMeter(recipe.garments.get(garment)!.colour.lab);
      meter.add(picture, 0, pixels, print.proof(garment, setup));
      const { mean, p95 } = meter.result();
      return { garment, setup, mean, p95 };
    }),
  );
}
