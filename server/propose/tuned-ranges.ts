import { canBePrinted, openJob, withText } from "../jobs/open.ts";
import { tuneRecipe } from "../jobs/tune.ts";
import { proofsOf } from "./check-and-fix.ts";
import type { Proposal } from "./proposal.ts";
import type { ProposalRequest } from "./request.ts";

/** About how long may be searched, and how many numbers changed at most. */
const SECONDS = 5;
const NUMBERS = 80;

type Checked = Pick<Proposal, "text" | "proofs">;

/** A checked proposal with its ranges tuned to the picture, and curves of strength where they pay. */
export async function tunedRanges<T extends Checked>(request: ProposalRequest, made: T): Promise<T> {
  const { recipeFile, files } = request;
  const job = await openJob(recipeFile, withText(files, recipeFile, made.text));
  if (!canBePrinted(job)) return made;
  const tuned = await tuneRecipe({
    job,
    seconds: SECONDS,
    numbers: NUMBERS,
    strengths: true,
    onProgress: (done) => request.onProgress(0.95 + 0.05 * done),
  });
  if ("untouched" in tuned || !tuned.review.figures) return made;
  return { ...made, text: tuned.text, proofs: proofsOf(tuned.review.figures.prints.after) };
}
