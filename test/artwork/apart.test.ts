import { describe, expect, it } from "vitest";
import { programBeside, runApart } from "../../server/artwork/apart.ts";
import { scratch } from "./fixtures.ts";

const { put } = scratch();

async function ran(source: string, input: readonly Uint8Array[] = [], deadlineMs?: number) {
  let out = "";
  const ended = await runApart(
    put("program.mjs", Buffer.from(source)),
    ["one", "two"],
    input,
    (part) => {
      out += Buffer.from(part).toString();
    },
    deadlineMs,
  );
  return { ...ended, out };
}

describe("a program in a process of its own", () => {
  it("gets arguments and input, and hands out what it writes and says", async () => {
    const source =
      "import { text } from 'node:stream/consumers'; console.log(process.argv.slice(2).join(), await text(process.stdin)); console.error(' said '); process.exitCode = 4;";
    const input = [Buffer.from("a"), Buffer.from("b")];
    expect(await ran(source, input)).toEqual({ code: 4, late: false, said: "said", out: "one,two ab\n" });
  });

  it("is Node in the editor too", async () => {
    expect((await ran("console.log(process.env.ELECTRON_RUN_AS_NODE);")).out).toBe("1\n");
  });

  it("may end before it has read all", async () => {
    expect(await ran("process.exit(3);", [new Uint8Array(1e7)])).toMatchObject({ code: 3, late: false });
  });

  it("is ended at its deadline, however busy it is", async () => {
    const { code, late } = await ran("for (;;);", [], 200);
    expect([code, late]).toEqual([undefined, true]);
  });

  it("is named only where it stands beside the program", () => {
    expect(programBeside("pdf-process.js")).toBeUndefined();
  });
});
