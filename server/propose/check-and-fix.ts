import { ONE_JOB_BYTES } from "../jobs/look.ts";
import type { Print } from "../render/print.ts";
import { proofDifference } from "../render/proof-meter.ts";
import { StageCache } from "../render/stage-cache.ts";
import type { Draft } from "./draft.ts";
import { type Checked, checked, fixed } from "./fixes.ts";
import type { Proposal } from "./proposal.ts";
import { ProposalError, type ProposalRequest } from "./request.ts";

/** Rounds of check and mending. */
const ROUNDS = 6;
/** Rounds in which inks may be chosen again. */
const CHOICES = 2;

/** A draft to begin with, and what may be done about it. */
export interface Start {
  readonly draft: Draft;
  /** Chooses anew without plates that are not worth their screens. */
  readonly again: ((drop: readonly string[]) => Promise<Draft>) | undefined;
}

/** Checks a draft and mends what it finds, until nothing stands. */
export async function checkedProposal(
  request: ProposalRequest,
  start: () => Start,
): Promise<Pick<Proposal, "text" | "screens" | "proofs" | "notes">> {
  const cache = new StageCache(ONE_JOB_BYTES);
  const { draft: first, again } = start();
  const { draft, found } = await mended(request, cache, first, again);
  return { text: found.text, screens: draft.plates.length, proofs: proofsOf(found.print), notes: found.lost };
}

interface Mended {
  readonly draft: Draft;
  readonly found: Checked;
}

async function mended(
  request: ProposalRequest,
  cache: StageCache,
  first: Draft,
  again: Start["again"],
): Promise<Mended> {
  let draft = first;
  let found: Checked | undefined;
  for (let round = 0; round < ROUNDS; round++) {
    found = await checked(draft, request, cache, (done) =>
      request.onProgress(0.55 + (0.4 * (round + done)) / ROUNDS),
    );
    if (found.standing.length === 0) return { draft, found };
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
  const { rule = "", message = "" } = found?.standing[0] ?? {};
  throw new ProposalError(`no recipe was found that its own check passes: ${message} [${rule}]`);
}

/** How far each garment's proof is from the artwork, at preview size. */
export function proofsOf(print: Print): Proposal["proofs"] {
  const { recipe, artwork } = print;
  return [...recipe.setups].flatMap(([name, setup]) =>
    setup.garments.map((garment) => {
      const proof = print.proof(garment, name);
      const { mean, p95 } = proofDifference(recipe, setup, garment, artwork, proof);
      return { garment, setup: name, mean, p95 };
    }),
  );
}
