import { describe, expect, it } from "vitest";
import {
  FIRST_VIEW,
  garmentOf,
  proofOn,
  requestOf,
  setupOf,
  shownPlate,
  stationCount,
  type View,
  viewOf,
} from "../../../client/panel/view.ts";
import type { PanelJob } from "../../../server/wire/panel.ts";
import { job, lab } from "./view-job.ts";

const view = (change: Partial<View> = {}): View => ({ ...FIRST_VIEW, ...change });
const printing = (v: View) =>
  proofOn(job, "now", lab, setupOf(job, v), v.after ?? 99, v.without).stations.map(({ plate }) => plate);

describe("a view", () => {
  it("is at first the proof as it will be, in the middle of the wipe", () => {
    expect(FIRST_VIEW).toMatchObject({ mode: "proof", after: null, without: [], wipe: 0.5, scale: null });
    for (const mode of ["proof", "wipe", "difference", "plate", "garments", "commit"] as const)
      expect(viewOf({ mode }).mode).toBe(mode);
  });

  it("falls back to the first garment, and to a setup that prints on it", () => {
    const gone = view({ garment: "brick", setup: "light" });
    expect([garmentOf(job, gone)?.name, setupOf(job, gone)?.name]).toEqual(["black", "dark"]);
    expect(setupOf(job, view({ garment: "white", setup: "other" }))?.name).toBe("other");
  });

  it("prints the stations so far, but what is left out for a look", () => {
    expect(printing(view())).toEqual(["base", "ember"]);
    expect(printing(view({ after: 2 }))).toEqual(["base"]);
    expect(printing(view({ after: 0 }))).toEqual([]);
    expect(printing(view({ without: ["base"] }))).toEqual(["ember"]);
  });

  it("shows a folded plate on the screen that carries it, and without a choice the first that prints", () => {
    expect(shownPlate(job, view({ plate: "rose" }))).toBe("ember");
    expect(shownPlate(job, view({ plate: "gone" }))).toBe("base");
    expect(shownPlate(job, view({ garment: "white" }))).toBe("ember");
  });

  it.each([
    [{ mode: "proof" }, { kind: "proof", source: "now" }],
    [{ mode: "difference" }, { kind: "difference", source: "now" }],
    [
      { mode: "plate", plate: "ember" },
      { kind: "film", source: "now", plate: "ember" },
    ],
    [
      { mode: "plate", plate: "ember", plateAs: "ink" },
      { kind: "proof", stations: [{ plate: "ember" }] },
    ],
    [{ mode: "commit" }, { kind: "change", now: { source: "now" }, before: { source: "before" } }],
    [
      { mode: "commit", commit: "before" },
      { kind: "proof", source: "before" },
    ],
    [
      { mode: "commit", commit: "after" },
      { kind: "proof", source: "now" },
    ],
    [
      { mode: "commit", commitOf: "plate", plate: "ember" },
      { kind: "plateChange", plate: "ember" },
    ],
    [
      { mode: "commit", commitOf: "plate", commit: "before", plate: "ember" },
      { kind: "film", source: "before" },
    ],
  ] as [Partial<View>, object][])("%j is the picture %j", (change, request) => {
    expect(requestOf(job, job, view(change), "now")).toMatchObject(request);
  });

  it("is one print of a proof, beside what it would be in register, and of its crop", () => {
    const one = (mode: View["mode"], source: "now" | "crop") =>
      requestOf(job, job, view({ mode }), source, undefined, true);
    expect(one("proof", "now")).toMatchObject({
      kind: "onePrint",
      source: "slid",
      inRegister: { source: "now" },
      stations: [{ plate: "base" }, { plate: "ember" }],
    });
    expect(one("proof", "crop")).toMatchObject({ kind: "proof", source: "slidCrop" });
    expect(one("wipe", "now")).toMatchObject({ kind: "proof", source: "now" });
  });

  it("prints each station in its own ink, with the setup's gain for it", () => {
    const tones = [
      [0, 0],
      [0.5, 0.7],
      [1, 1],
    ] as const;
    const gain = { tones };
    const [dark, ...others] = job.setups;
    const grown = { ...job, setups: [{ ...dark!, n: 1.8, gains: { ember: gain } }, ...others] };
    const stations = [
      { plate: "base", ink: job.inks[0]!.film, gain: undefined },
      { plate: "ember", ink: job.inks[1]!.film, gain },
    ];
    expect(requestOf(grown, undefined, view(), "now")).toMatchObject({
      conditions: { n: 1.8 },
      stations,
    });
    const alone = view({ mode: "plate", plate: "ember", plateAs: "ink" });
    expect(requestOf(grown, undefined, alone, "now")).toMatchObject({ stations: [stations[1]] });
  });

  it("of a plate at the last commit has the ink, the gain and the garment of then", () => {
    const film = { colour: { L: 30, a: 1, b: 2 }, opacity: 0.5 };
    const [black, white] = job.garments;
    const before: PanelJob = {
      ...job,
      garments: [{ ...black!, colour: { L: 20, a: 0, b: 0 } }, white!],
      inks: [job.inks[0]!, { ...job.inks[1]!, film }],
    };
    const plate = view({ mode: "commit", commitOf: "plate", plate: "ember", plateAs: "ink" });
    expect(requestOf(job, before, { ...plate, commit: "before" }, "now")).toMatchObject({
      source: "before",
      conditions: { garment: { L: 20 } },
      stations: [{ plate: "ember", ink: film }],
    });
    expect(requestOf(job, before, { ...plate, commit: "after" }, "now")).toMatchObject({
      source: "now",
      conditions: { garment: { L: 8 } },
      stations: [{ plate: "ember", ink: job.inks[1]!.film }],
    });
  });

  it("of garments side by side, of no garment and of a crop at a commit is none of its own", () => {
    expect(requestOf(job, job, view({ mode: "garments" }), "now")).toBeUndefined();
    expect(requestOf({ ...job, garments: [] }, job, view(), "now")).toBeUndefined();
    expect(requestOf(job, job, view({ mode: "commit" }), "crop")).toBeUndefined();
    expect(requestOf(job, job, view({ mode: "proof" }), "crop")).toMatchObject({ source: "crop" });
    expect(requestOf(job, job, view({ mode: "wipe" }), "now")).toMatchObject({ kind: "proof" });
  });

  it("shows the bare garment, and the first plate, where nothing prints on it", () => {
    const bare = { ...job, setups: [] };
    expect(requestOf(bare, undefined, view(), "now")).toMatchObject({
      conditions: { garment: { L: 8 }, n: 1 },
      stations: [],
    });
    expect(stationCount(undefined, null)).toBe(0);
    expect(shownPlate(bare, view())).toBe("base");
    expect(shownPlate({ ...bare, plates: [] }, view())).toBeUndefined();
  });

  it("of a plate whose ink is gone is its film, and it does not print", () => {
    const inkless = { ...job, inks: job.inks.slice(0, 1) };
    expect(requestOf(inkless, undefined, view(), "now")).toMatchObject({
      stations: [{ plate: "base" }],
    });
    const ink = view({ mode: "plate", plate: "ember", plateAs: "ink" });
    expect(requestOf(inkless, undefined, ink, "now")).toEqual({
      kind: "film",
      source: "now",
      plate: "ember",
    });
  });

  it("of plates folded in a circle ends", () => {
    const circle = job.plates.map((plate) => ({
      ...plate,
      foldedInto: plate.name === "base" ? "ember" : "base",
    }));
    expect(["base", "ember"]).toContain(shownPlate({ ...job, plates: circle }, view({ plate: "base" })));
  });

  it("of the last commit needs one", () => {
    expect(requestOf(job, undefined, view({ mode: "commit" }), "now")).toBeUndefined();
  });

  it("is kept as it was, and odd parts of what was kept are as at first", () => {
    const kept = view({
      garment: "white",
      mode: "plate",
      after: 2,
      without: ["base"],
      scale: 3,
      centre: [4, 5],
      wipe: 0.2,
    });
    expect(viewOf(JSON.parse(JSON.stringify(kept)))).toEqual(kept);
    expect(viewOf({ after: 0, wipe: 0, scale: 0.01 })).toMatchObject({ after: 0, wipe: 0, scale: 0.01 });
    expect(viewOf({ after: 1000, wipe: 1, scale: 1000 })).toMatchObject({
      after: 1000,
      wipe: 1,
      scale: 1000,
    });
    const listed = { without: ["base", 3], commit: "after", commitOf: "plate", plateAs: "ink", loupe: true };
    expect(viewOf(listed)).toEqual(view({ ...listed, without: ["base"] } as Partial<View>));
    for (const odd of [
      { after: 1001, wipe: -0.1, scale: 1001, loupe: 1, plateAs: "x", commit: 2, commitOf: [] },
      { after: -0.5, wipe: 1.1, scale: 0.009, centre: [1, Number.NaN], garment: 1, setup: [], plate: null },
      { centre: [1, 2, 3] },
      { centre: ["1", 2] },
      { centre: "ab" },
      undefined,
      null,
      7,
      [],
      "x",
      { mode: 3, after: -1, scale: 0, centre: [1], wipe: 9, without: "a" },
    ])
      expect(viewOf(odd)).toEqual(FIRST_VIEW);
  });
});
