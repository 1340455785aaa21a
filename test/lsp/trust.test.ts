import { execFileSync, spawnSync } from "node:child_process";
import { chmodSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterEach, describe, expect, it } from "vitest";
import type { PreviewResult } from "../../server/wire/panel.ts";
import { SMALL_RECIPE, smallJob } from "../client/panel/jobs.ts";
import { scratch } from "../output/folders.ts";
import { TestClient, until } from "./client.ts";
import { askAll } from "./questions.ts";

const { fresh } = scratch();
const hasGit = spawnSync("git", ["--version"]).status === 0;
let client: TestClient | undefined;
afterEach(() => client?.process.kill());

/** The server on a committed job, with every program that it starts written down. */
async function open(options: object) {
  const folder = await smallJob(SMALL_RECIPE);
  const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
  for (const args of [
    ["init", "-q"],
    ["add", "."],
    ["commit", "-q", "-m", "first"],
  ])
    execFileSync("git", [...who, ...args], { cwd: folder });
  const tools = fresh();
  const log = join(tools, "log");
  const real = execFileSync("sh", ["-c", "command -v git"], { encoding: "utf8" }).trim();
  // A git that says it ran, and every Node process its program.
  writeFileSync(join(tools, "git"), `#!/bin/sh\necho "git $*" >> '${log}'\nexec '${real}' "$@"\n`);
  chmodSync(join(tools, "git"), 0o755);
  const preload = join(tools, "said.cjs");
  writeFileSync(
    preload,
    `require("node:fs").appendFileSync(${JSON.stringify(log)}, "node " + require("node:path").basename(process.argv[1] ?? "") + "\\n");\n`,
  );
  client = new TestClient(undefined, {
    PATH: `${tools}${delimiter}${process.env.PATH}`,
    NODE_OPTIONS: `--require "${preload}"`,
  });
  await client.start(folder, { window: { workDoneProgress: true } }, options);
  const uri = pathToFileURL(join(folder, "job.sep.yaml")).href;
  const text = SMALL_RECIPE.replace("Four quarters", "As it is now");
  await client.open(uri, text);
  const ran = () =>
    (existsSync(log) ? readFileSync(log, "utf8") : "")
      .split("\n")
      .filter((line) => line !== "" && line !== "node platewright.js");
  return { client, uri, text, ran };
}

const PROOF = { garment: "black", setup: "dark", stations: 5, without: [] };

/** Everything that an editor or its panel may ask; the answers of the panel. */
async function askEverything({ client, uri }: Awaited<ReturnType<typeof open>>) {
  expect(await askAll(client, uri, { line: 3, character: 4 })).toEqual([]);
  const textDocument = { uri };
  const position = { line: 12, character: 4 };
  await client.request("textDocument/diagnostic", { textDocument });
  await client.request("textDocument/references", {
    textDocument,
    position,
    context: { includeDeclaration: true },
  });
  await client.request("textDocument/rename", { textDocument, position, newName: "x1" }).catch(() => {});
  await client.request("workspace/symbol", { query: "e" });
  await client.request("platewright/pressLoad", { uri });
  await client.request("platewright/why", {
    uri,
    plate: "ember",
    point: { rgba: [216, 67, 31, 255], x: 30, y: 30 },
  });
  await client.request("platewright/placeAt", { uri, position });
  const preview = (more: object) =>
    client.request<PreviewResult<string>>("platewright/preview", { uri, held: { plates: {} }, ...more });
  const pictures = [
    await preview({}),
    await preview({ quick: "lowResolution" }),
    await preview({ crop: { x: 0, y: 0, width: 10, height: 10, ppi: 200 } }),
    await preview({ committed: true }),
  ];
  const proof = await client.request<{ png: string }>("platewright/proofPicture", { uri, ...PROOF }).then(
    () => "made",
    (error: Error) => error.message,
  );
  return { shown: pictures.map(({ picture, problem }) => (picture ? "shown" : problem)), proof };
}

describe.skipIf(!hasGit || process.platform === "win32")("a workspace (needs git)", () => {
  it("that is not trusted has no program run in it and no artwork read, whatever is asked; once trusted, all", async () => {
    const opened = await open({ readArtwork: false });
    const { client, uri, ran } = opened;
    await client.findings(uri);
    // Longer than measuring waits for typing to rest.
    await new Promise((resolve) => setTimeout(resolve, 800));
    const why = expect.stringContaining("not trusted");
    expect(await askEverything(opened)).toEqual({ shown: [why, why, why, why], proof: why });
    // A change, too, has nothing measured.
    await client.change(uri, { text: `${opened.text}\n` });
    await new Promise((resolve) => setTimeout(resolve, 800));
    expect(ran()).toEqual([]);
    expect(client.asked).not.toContain("window/workDoneProgress/create");

    await client.connection.sendNotification("platewright/trusted");
    // Measured without another change: the plates' tones stand beside them.
    const measured = await until(async () => {
      const range = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
      const hints = await client.request<{ label: string }[] | null>("textDocument/inlayHint", {
        textDocument: { uri },
        range,
      });
      return hints?.some(({ label }) => /%/.test(label)) || undefined;
    });
    expect(measured).toBe(true);
    expect(await askEverything(opened)).toEqual({
      shown: ["shown", "shown", "shown", "shown"],
      proof: "made",
    });
    expect(ran()).toContain("node measure-process.js");
  });

  it("that is trusted from the beginning has its last commit looked up for lenses, one that is not has not", async () => {
    for (const readArtwork of [false, true]) {
      const { client, uri, ran } = await open({ readArtwork });
      await client.request("textDocument/codeLens", { textDocument: { uri } });
      await client.request("textDocument/codeLens", { textDocument: { uri } });
      if (readArtwork) await until(() => ran().some((line) => line.startsWith("git ")) || undefined);
      else {
        // Git starts within a few milliseconds where it does.
        await new Promise((resolve) => setTimeout(resolve, 300));
        expect(ran().filter((line) => line.startsWith("git "))).toEqual([]);
      }
      client.process.kill();
    }
  });
});
