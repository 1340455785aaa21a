import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { separate } from "../../../server/engine/separate.ts";
import { reachOf } from "../../../server/engine/stages/stage.ts";
import { marginFor, type StageName, stagesOf } from "../../../server/engine/stages/stages.ts";
import { picture, plans } from "../../render/random-jobs.ts";
import { EMPTY_PLAN } from "./run.ts";

const flat = (name: string) => ({ name, extract: { by: "artwork" }, strength: { by: "flat" } }) as const;
const JOB = {
  ...EMPTY_PLAN,
  plates: ["base", "ember", "rose", "black"].map(flat),
  merges: [{ fold: "rose", into: "ember" }],
  knockouts: [
    { from: "base", where: "black", choke: 0.2 },
    { from: "ember", where: "black", choke: 0.2 },
  ],
  traps: [{ plate: "base", way: "choke", distance: 0.5 }],
} as const;

describe("the graph of stages", () => {
  it("leaves a plate that a stage does nothing to as the node that it was", () => {
    const { extract, adjust, merge, knockout, trap, limits } = stagesOf(JOB);
    expect(extract.get("black")).toEqual({ stage: "extract", takes: [], plate: 3 });
    expect(limits.get("black")).toBe(extract.get("black"));
    expect(adjust.get("rose")).toBe(extract.get("rose"));
    expect(merge.get("ember")).not.toBe(adjust.get("ember"));
    expect(trap.get("ember")).toBe(knockout.get("ember"));
    expect(trap.get("base")).not.toBe(knockout.get("base"));
  });

  it("has no folded plate after merging", () => {
    const { adjust, merge, limits } = stagesOf(JOB);
    expect([...adjust.keys()]).toEqual(["base", "ember", "rose", "black"]);
    expect([...merge.keys()]).toEqual(["base", "ember", "black"]);
    expect([...limits.keys()]).toEqual(["base", "ember", "black"]);
  });

  it("reaches as far as the distances on a plate's way add up to, and a pixel for each brush and for what is looked at around one", () => {
    const { limits } = stagesOf(JOB);
    const reach = (name: string) => reachOf(limits.get(name)!, 10);
    expect([reach("base"), reach("ember"), reach("black")]).toEqual([3 + 1 + 2 + 6, 3 + 1 + 2, 0]);
    expect(marginFor(JOB, 10)).toBe(12);
    expect(marginFor(JOB, 10, { drawn: true })).toBe(13);
    expect(marginFor(EMPTY_PLAN, 10)).toBe(0);
  });
});

describe("plates as they stood after a stage", () => {
  const made = (plan: Parameters<typeof separate>[2], after: readonly StageName[]) => {
    const plates: Record<string, Record<string, string>> = {};
    for (const step of separate(picture(5), 2, plan, { after }))
      if (typeof step !== "number")
        plates[step.name] = Object.fromEntries(
          [...step.after].map(([stage, tones]) => [stage, Buffer.from(tones).toString("hex")]),
        );
    return plates;
  };

  it("are those of a plan without the stages behind it", () => {
    for (const plan of fc.sample(plans, { seed: 11, numRuns: 100 })) {
      const all = made(plan, ["merge", "knockout", "trap"]);
      const unlimited = { thinnest: [], smallestDot: 0 };
      const alone = {
        merge: made({ ...plan, knockouts: [], traps: [], ...unlimited }, []),
        knockout: made({ ...plan, traps: [], ...unlimited }, []),
        trap: made({ ...plan, ...unlimited }, []),
        limits: made(plan, []),
      };
      for (const [name, views] of Object.entries(all))
        for (const stage of ["merge", "knockout", "trap", "limits"] as const)
          expect(views[stage], `${name} after ${stage}`).toBe(alone[stage][name]!.limits);
    }
  });
});
