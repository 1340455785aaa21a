import { expect, it } from "vitest";
import { HIGHLIGHT, mixedInk, WHITE_INK } from "../../server/engine/propose/candidates.ts";
import { draftOf } from "../../server/propose/job.ts";

it("solves plates for all garments, among them those that only dark ones print", () => {
  const cloth = (name: string, L: number) => ({ name, colour: "#808080", lab: { L, a: 0, b: 0 } });
  const plate = (ink: typeof HIGHLIGHT) => ({ ink, extract: { solve: "jointly" } as const, comment: "" });
  const draft = draftOf({
    title: "",
    shop: undefined,
    artwork: { file: "art.png", width: "3 in" },
    garments: [cloth("black", 8), cloth("white", 96)],
    press: undefined,
    shelf: [],
    plates: [plate(mixedInk({ L: 50, a: 60, b: 40 })), plate(HIGHLIGHT)],
    base: { ink: WHITE_INK, extract: { artwork: "opaque" }, comment: "" },
    knockOut: false,
    solved: true,
    onOwnColour: true,
    screening: undefined,
    head: [],
  });
  expect(draft.solve).toEqual({ garments: { black: 1, white: 1 } });
  const [dark, light] = draft.setups;
  expect(dark!.order).toContain("highlight");
  expect(light!.order).not.toContain("highlight");
});
