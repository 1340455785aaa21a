import { afterEach, describe, expect, it } from "vitest";
import type { ToPage } from "../../client/panel/protocol.ts";
import { type PanelEditor, PanelSession } from "../../client/panel-session.ts";
import type { PreviewParams, PreviewResult } from "../../server/wire/panel.ts";
import { until } from "../lsp/client.ts";

/** A question that the language server has not answered yet. */
interface Asked {
  readonly method: string;
  readonly params: PreviewParams;
  readonly signal: AbortSignal;
  answer(value: unknown): void;
  fail(error: Error): void;
}

let session: PanelSession;
afterEach(() => session.dispose());

function open() {
  const asked: Asked[] = [];
  /** What is asked about the text alone. */
  const askedJob: Asked[] = [];
  const posted: ToPage[] = [];
  const said: string[] = [];
  const applied: number[] = [];
  const state = { version: 1 };
  const editor: PanelEditor = {
    uri: "file:///job.sep.yaml",
    post: (message) => posted.push(message),
    request: (method, params, signal) =>
      new Promise((resolve, reject) => {
        const question = params as PreviewParams;
        (question.quick === "job" ? askedJob : asked).push({
          method,
          params: question,
          signal,
          answer: resolve as (value: unknown) => void,
          fail: reject,
        });
        signal.addEventListener("abort", () => reject(new Error("cancelled")));
      }),
    version: () => state.version,
    apply: async (_answer, version) => {
      applied.push(version);
      return version === state.version;
    },
    reveal: () => {},
    revealShop: () => {},
    output: () => {},
    go: () => {},
    say: (message) => said.push(message),
    save: async () => {},
  };
  session = new PanelSession(editor);
  return { asked, askedJob, posted, said, applied, state };
}

const picture = (keys: Record<string, string>, bytes = "AAAA"): PreviewResult<string>["picture"] => ({
  artwork: { key: "art", width: 1, height: 1, ppi: 1, xMm: 0, yMm: 0, heightMm: 1, ownPpi: 1, notes: [] },
  plates: Object.entries(keys).map(([name, key]) => ({
    name,
    key,
    figures: { coverage: 0, filmMm: { width: 0, height: 0 } },
    bytes,
  })),
});
const answer = (version: number, keys: Record<string, string> = { a: "1" }): PreviewResult<string> => ({
  version,
  findings: [],
  picture: picture(keys)!,
});
const lowResolution = (version: number): PreviewResult<string> => ({
  version,
  findings: [],
  picture: { ...picture({ a: "g" })!, lowResolution: true },
});
const rest = () => new Promise((resolve) => setTimeout(resolve, 5));

describe("a panel's session", () => {
  it("asks anew for a page that takes another's place while its question is open", async () => {
    const { asked, posted } = open();
    session.start();
    asked[0]!.answer(answer(1));
    await session.received({ kind: "ready" });
    await rest();
    session.textChanged();
    expect(asked[1]!.params).toMatchObject({ held: { plates: { a: "1" } } });
    await session.received({ kind: "ready" });
    await rest();
    expect(asked[1]!.signal.aborted).toBe(true);
    expect(asked[2]!.params).toMatchObject({ held: { plates: {} } });
    asked[2]!.answer(answer(1));
    await rest();
    expect(posted.filter(({ kind }) => kind === "preview")).toHaveLength(2);
  });

  it("posts what the text alone says before anything else, or not at all", async () => {
    for (const late of [false, true]) {
      const { asked, askedJob, posted } = open();
      await session.received({ kind: "ready" });
      session.start();
      const answers = [
        () => askedJob[0]!.answer({ version: 1, findings: [], job: {} }),
        // Why there is no picture: what says less must not come after it.
        () => asked[0]!.answer({ version: 1, findings: [], job: {}, problem: "not trusted" }),
      ];
      for (const answer of late ? answers.reverse() : answers) {
        answer();
        await rest();
      }
      const problems = posted.map((message) => message.kind === "preview" && message.result.problem);
      expect(problems).toEqual(late ? ["not trusted"] : [undefined, "not trusted"]);
      session.dispose();
    }
  });

  it("takes nothing for held by a page that was hidden before it was there", async () => {
    const { asked } = open();
    session.start();
    asked[0]!.answer(answer(1));
    await rest();
    session.setVisible(false);
    session.setVisible(true);
    await session.received({ kind: "ready" });
    expect(asked.at(-1)!.params).toMatchObject({ held: { plates: {} } });
  });

  it("asks before the page is there, and hands over once it is", async () => {
    const { asked, posted } = open();
    session.start();
    asked[0]!.answer(answer(1));
    await rest();
    expect(posted).toEqual([]);
    await session.received({ kind: "ready" });
    expect(posted.map(({ kind }) => kind)).toEqual(["preview"]);
    expect(asked).toHaveLength(1);
  });

  it("goes on with its first question when the page is there, however long that took", async () => {
    const { asked } = open();
    session.start();
    await new Promise((resolve) => setTimeout(resolve, 330));
    await session.received({ kind: "ready" });
    expect(asked[0]!.signal.aborted).toBe(false);
    asked[0]!.answer(answer(1));
    await rest();
    expect(asked).toHaveLength(1);
  });

  it("asks for few pixels while the page shows nothing, and then for the whole", async () => {
    const { asked, posted } = open();
    session.start();
    await session.received({ kind: "ready" });
    expect(asked[0]!.params.quick).toBe("lowResolution");
    asked[0]!.answer(lowResolution(1));
    await rest();
    expect(asked[1]!.params).toMatchObject({ held: { plates: {} } });
    expect(asked[1]!.params.quick).toBeUndefined();
    asked[1]!.answer(answer(1));
    await rest();
    expect(asked).toHaveLength(2);
    expect(
      posted.map((message) => message.kind === "preview" && message.result.picture?.lowResolution),
    ).toEqual([true, undefined]);
    session.textChanged();
    expect(asked[2]!.params).toMatchObject({ held: { artwork: "art", plates: { a: "1" } } });
    expect(asked[2]!.params.quick).toBeUndefined();
    await session.received({ kind: "ready" });
    await until(() => asked[3]);
    expect(asked[3]!.params.quick).toBe("lowResolution");
  });

  it("hands over what the text says as long as there is no picture", async () => {
    const { asked, askedJob, posted } = open();
    session.start();
    await session.received({ kind: "ready" });
    askedJob[0]!.answer({ version: 1, findings: [] });
    await rest();
    asked[0]!.answer(answer(1));
    await rest();
    expect(posted.map((message) => message.kind === "preview" && message.result.picture)).toEqual([
      undefined,
      expect.anything(),
    ]);
  });

  it("hands no bare text over a picture", async () => {
    const { asked, askedJob, posted } = open();
    session.start();
    await session.received({ kind: "ready" });
    asked[0]!.answer(answer(1));
    await rest();
    askedJob[0]!.answer({ version: 1, findings: [] });
    await rest();
    expect(posted).toHaveLength(1);
  });

  it("says what the page holds, so that it is not sent again; another page holds nothing", async () => {
    const { asked } = open();
    await session.received({ kind: "ready" });
    asked[0]!.answer(answer(1, { a: "1", b: "2" }));
    await rest();
    session.textChanged();
    expect(asked[1]!.params.held).toEqual({ artwork: "art", plates: { a: "1", b: "2" } });
    asked[1]!.answer(answer(1));
    await rest();
    await session.received({ kind: "ready" });
    expect(asked[2]!.params.held).toEqual({ plates: {} });
  });

  it("has one question under way, and asks next about the newest text", async () => {
    const { asked, posted, state } = open();
    await session.received({ kind: "ready" });
    for (let i = 0; i < 5; i++) {
      state.version++;
      session.textChanged();
    }
    expect(asked).toHaveLength(1);
    asked[0]!.answer(answer(1));
    await rest();
    // What was answered is shown, though it is not the newest.
    expect(posted.map(({ kind }) => kind)).toEqual(["preview"]);
    expect(asked).toHaveLength(2);
    asked[1]!.answer(answer(6));
    await rest();
    expect(asked).toHaveLength(2);
  });

  it("asks again where the answer is of an older text than the editor holds", async () => {
    const { asked, state } = open();
    await session.received({ kind: "ready" });
    state.version = 2;
    asked[0]!.answer(answer(1));
    await rest();
    expect(asked).toHaveLength(2);
  });

  it("gives a question up that takes long, once the text changes", async () => {
    const { asked } = open();
    await session.received({ kind: "ready" });
    await new Promise((resolve) => setTimeout(resolve, 330));
    expect(asked[0]!.signal.aborted).toBe(false);
    session.textChanged();
    expect(asked[0]!.signal.aborted).toBe(true);
    await until(() => asked[1]);
  });

  it("says what went wrong, and does not ask over and over", async () => {
    const { asked, said } = open();
    await session.received({ kind: "ready" });
    asked[0]!.fail(new Error("the server is gone"));
    await rest();
    expect(said).toEqual(["The proof cannot be made: the server is gone"]);
    expect(asked).toHaveLength(1);
    session.textChanged();
    expect(asked).toHaveLength(2);
  });

  it("asks for nothing while it is hidden", async () => {
    const { asked } = open();
    await session.received({ kind: "ready" });
    session.setVisible(false);
    expect(asked[0]!.signal.aborted).toBe(true);
    session.textChanged();
    await session.cursorMoved({ line: 1, character: 1 });
    await rest();
    expect(asked).toHaveLength(1);
    session.setVisible(true);
    expect(asked).toHaveLength(2);
  });

  it("asks for a sharper crop once the text rests, and sends none that is out of date", async () => {
    const { asked, posted } = open();
    await session.received({ kind: "ready" });
    asked[0]!.answer(answer(1));
    await rest();
    const crop = { x: 0, y: 0, width: 10, height: 10, ppi: 300 };
    await session.received({ kind: "want", committed: false, crop });
    expect(asked[1]!.params.crop).toEqual(crop);
    session.textChanged();
    expect(asked[1]!.signal.aborted).toBe(true);
    asked[2]!.answer(answer(1));
    const again = await until(() => asked[3]);
    again.answer(answer(1));
    await rest();
    expect(posted.map(({ kind }) => kind)).toEqual(["preview", "preview", "crop"]);
  });

  it("sends plain byte arrays of their own", async () => {
    const { asked, posted } = open();
    await session.received({ kind: "ready" });
    asked[0]!.answer(answer(1));
    await rest();
    const [message] = posted as Extract<ToPage, { kind: "preview" }>[];
    const { bytes } = message!.result.picture!.plates[0]!;
    expect(bytes!.constructor).toBe(Uint8Array);
    expect(bytes!.buffer.byteLength).toBe(3);
  });
});
