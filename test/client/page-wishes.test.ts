import { afterEach, describe, expect, it } from "vitest";
import type { ToPage } from "../../client/panel/protocol.ts";
import { type PanelEditor, PanelSession } from "../../client/panel-session.ts";

const URI = "file:///job.sep.yaml";
let session: PanelSession;
afterEach(() => session.dispose());

/** A session whose page is there, with answers by method; undefined is no answer. Everything that happens is noted. */
async function open(answers: Readonly<Record<string, unknown>> = {}, { version = 1, applies = true } = {}) {
  const done: unknown[][] = [];
  const posted: ToPage[] = [];
  const saved: { name: string; bytes: () => Promise<Uint8Array> }[] = [];
  const note =
    (what: string) =>
    (...args: unknown[]): void => {
      done.push([what, ...args]);
    };
  const editor: PanelEditor = {
    uri: URI,
    post: (message) => posted.push(message),
    request: async (method, params) => {
      if (method === "platewright/preview") return new Promise<never>(() => {});
      done.push([method, params]);
      const answer = answers[method];
      if (answer instanceof Error) throw answer;
      return answer as never;
    },
    version: () => version,
    apply: async (edit, of) => {
      done.push(["apply", edit, of]);
      return applies;
    },
    reveal: note("reveal"),
    revealShop: note("revealShop"),
    output: note("output"),
    go: note("go"),
    say: note("say"),
    save: async (name, bytes) => {
      saved.push({ name, bytes: () => bytes(new AbortController().signal) });
    },
  };
  session = new PanelSession(editor);
  await session.received({ kind: "ready" });
  return { done, posted, saved };
}
const RANGE = { start: { line: 3, character: 2 }, end: { line: 3, character: 9 } };
const EDIT = { kind: "order", setup: "dark", order: [1, 0] } as const;

describe("an edit of the page", () => {
  const asked = ["platewright/panelEdit", { uri: URI, edit: EDIT }];

  it("is written as one change of the text that it was asked for, and said", async () => {
    const answer = { edits: [], did: "order of dark" };
    const { done, posted } = await open({ "platewright/panelEdit": answer }, { version: 7 });
    await session.received({ kind: "edit", edit: EDIT });
    expect(done).toEqual([asked, ["apply", answer, 7]]);
    expect(posted).toEqual([{ kind: "said", text: "written: order of dark" }]);
  });

  it("is told where the text moved on, or the server refuses it", async () => {
    const moved = await open({ "platewright/panelEdit": { edits: [], did: "a" } }, { applies: false });
    await session.received({ kind: "edit", edit: EDIT });
    expect(moved.done.at(-1)).toEqual([
      "say",
      "Nothing was changed: the text moved on meanwhile. Try again.",
    ]);
    expect(moved.posted).toEqual([]);
    const refused = await open({ "platewright/panelEdit": { refused: "there is no such setup" } });
    await session.received({ kind: "edit", edit: EDIT });
    expect(refused.done).toEqual([asked, ["say", "Nothing was changed: there is no such setup."]]);
  });

  it("is nothing where the recipe cannot be read", async () => {
    const { done, posted } = await open({ "platewright/panelEdit": null });
    await session.received({ kind: "edit", edit: EDIT });
    expect([done, posted]).toEqual([[asked], []]);
  });
});

describe("a place of the text", () => {
  it("is shown, and its cursor's coming there is no news to the page, once", async () => {
    const place = { kind: "plate", plate: "base" };
    const { done, posted } = await open({ "platewright/rangeOf": RANGE, "platewright/placeAt": place });
    await session.received({ kind: "reveal", path: ["plates", "base"] });
    expect(done).toEqual([
      ["platewright/rangeOf", { uri: URI, path: ["plates", "base"] }],
      ["reveal", RANGE],
    ]);
    await session.cursorMoved(RANGE.start);
    expect(posted).toEqual([]);
    await session.cursorMoved(RANGE.start);
    expect(done.at(-1)).toEqual(["platewright/placeAt", { uri: URI, position: RANGE.start }]);
    expect(posted).toEqual([{ kind: "place", place }]);
  });

  it("that the cursor leaves for another is news", async () => {
    const { posted } = await open({ "platewright/rangeOf": RANGE, "platewright/placeAt": { kind: "plate" } });
    await session.received({ kind: "reveal", path: ["plates"] });
    await session.cursorMoved({ line: 3, character: 3 });
    expect(posted).toHaveLength(1);
    // What was expected is not expected any more.
    await session.cursorMoved(RANGE.start);
    expect(posted).toHaveLength(2);
  });

  it("that is not there is not shown, and nothing is told of a cursor that stands on nothing", async () => {
    const { done, posted } = await open({ "platewright/rangeOf": null, "platewright/placeAt": null });
    await session.received({ kind: "reveal", path: ["plates"] });
    await session.cursorMoved(RANGE.start);
    expect(done.map(([what]) => what)).toEqual(["platewright/rangeOf", "platewright/placeAt"]);
    expect(posted).toEqual([]);
  });

  it("of the shop is a line of the file that the recipe names", async () => {
    const { done } = await open({ "platewright/fileNamed": "/a.shop.yaml" });
    await session.received({ kind: "revealShop", line: 4 });
    expect(done).toEqual([
      ["platewright/fileNamed", { uri: URI, of: "shop" }],
      ["revealShop", "/a.shop.yaml", 4],
    ]);
    const none = await open({ "platewright/fileNamed": null });
    await session.received({ kind: "revealShop", line: 4 });
    expect(none.done).toHaveLength(1);
  });
});

describe("why a plate has a tone", () => {
  const point = { x: 1, y: 2, rgba: [0, 1, 2, 255] } as const;
  const message = { kind: "why", plate: "base", point } as never;

  it("is told, and the first reason's place shown", async () => {
    const reasons = [{ path: ["plates", "base"] }, { path: ["adjust", 0] }];
    const { done, posted } = await open({ "platewright/why": reasons, "platewright/rangeOf": RANGE });
    await session.received(message);
    expect(posted).toEqual([{ kind: "why", plate: "base", reasons }]);
    expect(done).toEqual([
      ["platewright/why", { uri: URI, plate: "base", point }],
      ["platewright/rangeOf", { uri: URI, path: ["plates", "base"] }],
      ["reveal", RANGE],
    ]);
  });

  it("is nothing where there is none", async () => {
    const { done, posted } = await open({ "platewright/why": null });
    await session.received(message);
    expect(posted).toEqual([{ kind: "why", plate: "base", reasons: [] }]);
    expect(done).toHaveLength(1);
  });
});

describe("what is left over", () => {
  it("is told, or why it is not known", async () => {
    const left = { garments: [], most: "a" };
    for (const [answer, told] of [
      [left, left],
      [null, { garments: [], most: "the recipe has errors" }],
      [new Error("no artwork"), { garments: [], most: "no artwork" }],
    ] as const) {
      const { done, posted } = await open({ "platewright/left": answer });
      await session.received({ kind: "left" });
      expect(posted).toEqual([{ kind: "left", left: told }]);
      expect(done).toEqual([["platewright/left", { uri: URI }]]);
    }
  });

  it("is not told a page that is gone", async () => {
    const { posted } = await open({ "platewright/left": new Error("cancelled") });
    const asked = session.received({ kind: "left" });
    session.dispose();
    await asked;
    expect(posted).toEqual([]);
  });
});

describe("what leaves the panel", () => {
  it("is a proof under its garment's name, of a look under another, made once it is known where to", async () => {
    const { saved, done } = await open({ "platewright/proofPicture": { png: "AQID" } });
    const shown = { garment: "black", setup: "dark", stations: 2, without: [] as string[] };
    await session.received({ kind: "saveProof", shown });
    await session.received({ kind: "saveProof", shown: { ...shown, without: ["base"] } });
    expect(saved.map(({ name }) => name)).toEqual(["proof-black.png", "proof-black-look.png"]);
    expect(done).toEqual([]);
    expect([...(await saved[0]!.bytes())]).toEqual([1, 2, 3]);
    expect(done).toEqual([["platewright/proofPicture", { uri: URI, ...shown }]]);
  });

  it("is a sheet of plates as the page has it", async () => {
    const { saved } = await open();
    await session.received({ kind: "saveSheet", png: Uint8Array.of(7) });
    expect(saved.map(({ name }) => name)).toEqual(["plates.png"]);
    expect([...(await saved[0]!.bytes())]).toEqual([7]);
  });

  it("is asked for by the editor too, as is a garment, as soon as the page is there", async () => {
    const { posted } = await open();
    session.save("proof");
    session.show("black");
    expect(posted).toEqual([
      { kind: "save", what: "proof" },
      { kind: "show", garment: "black" },
    ]);
  });

  it("is what goes to the press, and the way out of what keeps the picture away", async () => {
    const { done } = await open();
    await session.received({ kind: "output", what: "films" } as never);
    await session.received({ kind: "go", way: "trust" } as never);
    expect(done).toEqual([
      ["output", "films"],
      ["go", "trust"],
    ]);
  });
});
