import { afterEach, describe, expect, it } from "vitest";
import type { ToPage } from "../../client/panel/protocol.ts";
import { bytesFromBase64, PanelPictures } from "../../client/panel-pictures.ts";
import type { PreviewParams, PreviewResult } from "../../server/wire/panel.ts";
import { until } from "../lsp/client.ts";

/** A question for a picture that is not answered yet. */
interface Asked {
  readonly params: Omit<PreviewParams, "uri">;
  readonly signal: AbortSignal;
  answer(result: PreviewResult<string> | null): void;
  fail(error: Error): void;
}

let pictures: PanelPictures;
afterEach(() => pictures.dispose());

function open() {
  const asked: Asked[] = [];
  const posted: ToPage[] = [];
  const said: string[] = [];
  pictures = new PanelPictures({
    post: (message) => posted.push(message),
    preview: (params, signal) =>
      new Promise((answer, fail) => {
        // What the text alone says is asked for once, and not what these tests are about.
        if (params.quick !== "job") asked.push({ params, signal, answer, fail });
        signal.addEventListener("abort", () => fail(new Error("cancelled")));
      }),
    version: () => 1,
    say: (message) => said.push(message),
  });
  return { asked, posted, said };
}
const result = (key = "1", more: Partial<PreviewResult<string>> = {}): PreviewResult<string> => ({
  version: 1,
  findings: [],
  picture: {
    artwork: { key: "art", width: 1, height: 1, ppi: 1, xMm: 0, yMm: 0, heightMm: 1, ownPpi: 1, notes: [] },
    plates: [{ name: "a", key, figures: { coverage: 0, filmMm: { width: 0, height: 0 } }, bytes: "AAAA" }],
  },
  ...more,
});
const rest = () => new Promise((resolve) => setTimeout(resolve, 5));
/** A page that shows the picture of the text. */
async function shown() {
  const all = open();
  pictures.start();
  pictures.pageStarted();
  all.asked[0]!.answer(result());
  await rest();
  return all;
}
const CROP = { x: 0, y: 0, width: 10, height: 10, ppi: 300 };

describe("the last commit", () => {
  it("is asked for when the page wants it, once, with what it holds of it", async () => {
    const { asked, posted } = await shown();
    pictures.want(true, undefined);
    pictures.want(true, undefined);
    expect(asked).toHaveLength(2);
    expect(asked[1]!.params).toEqual({ held: { plates: {} }, committed: true });
    asked[1]!.answer(result("old"));
    await rest();
    expect(posted.map(({ kind }) => kind)).toEqual(["preview", "committed"]);
    pictures.want(false, undefined);
    pictures.want(true, undefined);
    expect(asked[2]!.params.held).toEqual({ artwork: "art", plates: { a: "old" } });
  });

  it("is given up where the page wants it no more, and where files change asked for anew", async () => {
    const { asked, posted, said } = await shown();
    pictures.want(true, undefined);
    pictures.want(false, undefined);
    expect(asked[1]!.signal.aborted).toBe(true);
    await rest();
    pictures.filesChanged();
    // The picture of the text alone.
    expect(asked.slice(2).map(({ params }) => params.committed)).toEqual([undefined]);
    pictures.want(true, undefined);
    pictures.filesChanged();
    expect(asked.slice(3).map(({ params }) => params.committed)).toEqual([true, true]);
    expect(asked[3]!.signal.aborted).toBe(true);
    await rest();
    expect([posted.map(({ kind }) => kind), said]).toEqual([["preview"], []]);
  });

  it("that cannot be shown is told; one that is none changes nothing", async () => {
    const { asked, posted, said } = await shown();
    pictures.want(true, undefined);
    asked[1]!.fail(new Error("no such commit"));
    await rest();
    expect(said).toEqual(["The last commit cannot be shown: no such commit"]);
    pictures.filesChanged();
    asked.at(-1)!.answer(null);
    await rest();
    expect(posted.map(({ kind }) => kind)).toEqual(["preview"]);
  });

  it("without a picture leaves what is held of it", async () => {
    const { asked, posted } = await shown();
    pictures.want(true, undefined);
    asked[1]!.answer(result("old"));
    await rest();
    pictures.filesChanged();
    const { picture: _, ...bare } = result();
    asked.at(-1)!.answer({ ...bare, problem: "no commit" });
    await rest();
    expect(posted.at(-1)).toMatchObject({ kind: "committed", result: { problem: "no commit" } });
    pictures.filesChanged();
    expect(asked.at(-1)!.params.held).toEqual({ artwork: "art", plates: { a: "old" } });
  });
});

describe("a sharper crop", () => {
  it("is asked for once, until the page wants another or none", async () => {
    const { asked, posted } = await shown();
    pictures.want(false, CROP);
    pictures.want(false, { ...CROP });
    expect(asked.slice(1).map(({ params }) => params)).toEqual([
      { held: { plates: {} }, crop: CROP, trial: undefined },
    ]);
    const other = { ...CROP, x: 3 };
    pictures.want(false, other);
    expect(asked[1]!.signal.aborted).toBe(true);
    asked[2]!.answer(result());
    await rest();
    expect(posted.at(-1)).toMatchObject({ kind: "crop", crop: other });
    pictures.want(false, CROP);
    pictures.want(false, undefined);
    expect(asked[3]!.signal.aborted).toBe(true);
    expect(asked).toHaveLength(4);
  });

  it("is not asked for again after the page let it go, however soon the text rests", async () => {
    const { asked } = await shown();
    pictures.want(false, CROP);
    asked[1]!.answer(result());
    await rest();
    pictures.textChanged();
    asked[2]!.answer(result());
    await rest();
    pictures.want(false, undefined);
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(asked).toHaveLength(3);
  });

  it("that cannot be made, or is none, is not shown, and nothing is said", async () => {
    const { asked, posted, said } = await shown();
    pictures.want(false, CROP);
    asked[1]!.fail(new Error("too large"));
    await rest();
    pictures.want(false, { ...CROP, x: 1 });
    asked[2]!.answer({ version: 1, findings: [] });
    await rest();
    expect([posted.map(({ kind }) => kind), said]).toEqual([["preview"], []]);
  });
});

describe("an edit that is tried", () => {
  const edit = { kind: "order", setup: "dark", order: [1, 0] } as const;

  it("is shown until it is written or let go", async () => {
    const { asked } = await shown();
    pictures.try(edit);
    expect(asked[1]!.params.trial).toEqual(edit);
    asked[1]!.answer(result());
    await rest();
    pictures.try(undefined);
    expect(asked[2]!.params.trial).toBeUndefined();
    asked[2]!.answer(result());
    await rest();
    pictures.try(edit);
    asked[3]!.answer(result());
    await rest();
    pictures.written();
    pictures.textChanged();
    expect(asked[4]!.params.trial).toBeUndefined();
  });

  it("is forgotten by another page, as is what it wanted", async () => {
    const { asked } = await shown();
    pictures.want(true, CROP);
    pictures.try(edit);
    await rest();
    pictures.forget();
    pictures.pageStarted();
    expect(asked.map(({ signal }) => signal.aborted)).toEqual([false, true, true, true]);
    const again = await until(() => asked[4]);
    expect(again.params).toEqual({ held: { plates: {} }, quick: "lowResolution", trial: undefined });
    pictures.filesChanged();
    await rest();
    expect(asked).toHaveLength(5);
  });
});

it.each([
  [true, { artwork: "art", plates: { a: "1" } }],
  [false, { plates: {} }],
])("a page that is hidden holds what it was posted if it was there: %s", async (wasThere, held) => {
  const { asked } = await shown();
  pictures.hide(wasThere);
  pictures.textChanged();
  expect(asked).toHaveLength(1);
  pictures.show();
  expect(asked[1]!.params.held).toEqual(held);
});

it("after its end nothing is asked for, and what is under way is given up", async () => {
  const { asked, posted, said } = await shown();
  pictures.textChanged();
  pictures.want(true, CROP);
  pictures.dispose();
  expect(asked.slice(1).map(({ signal }) => signal.aborted)).toEqual([true, true, true]);
  pictures.textChanged();
  pictures.filesChanged();
  await rest();
  expect(posted).toHaveLength(1);
  expect(said).toEqual([]);
});

it("bytes from base64 are an array of their own", () => {
  const bytes = bytesFromBase64("AQID");
  expect([...bytes]).toEqual([1, 2, 3]);
  expect([bytes.constructor, bytes.buffer.byteLength]).toEqual([Uint8Array, 3]);
});
