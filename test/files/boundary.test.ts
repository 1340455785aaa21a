import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterEach, describe, expect, it } from "vitest";
import { Boundary, isInside } from "../../server/files/boundary.ts";
import { OUTSIDE } from "../../server/language/outside.ts";
import { Workspace } from "../../server/lsp/workspace.ts";
import type { PreviewResult } from "../../server/wire/panel.ts";
import { artPng } from "../cli/program.ts";
import { SOUND } from "../language/documents.ts";
import { TestClient, until } from "../lsp/client.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
/** Names as people give them. */
const NAMED = `job "two" 's – Ünïcode 100%`;

/** A workspace folder with a job in it, and the same files outside of it. */
async function folders() {
  const top = fresh();
  const [inside, outside] = [join(top, NAMED), join(top, `${NAMED} too`)];
  for (const folder of [inside, outside]) {
    mkdirSync(join(folder, "jobs"), { recursive: true });
    writeFileSync(join(folder, "art #1?.png"), await artPng());
    writeFileSync(
      join(folder, "shelf.shop.yaml"),
      'shop: 1\ninks: { sea: { colour: "#3a4fa0", opacity: 70% } }\n',
    );
    writeFileSync(join(folder, "wedge.txt"), "no readings");
  }
  return { top, inside, outside };
}

describe("a file may be read", () => {
  it("in the workspace's folders, links followed, and from a recipe that lies in none of them", async () => {
    const { top, inside, outside } = await folders();
    const boundary = new Boundary(() => [inside]);
    const recipe = join(inside, "jobs", "a.sep.yaml");
    symlinkSync(join(outside, "art #1?.png"), join(inside, "link.png"));
    symlinkSync(outside, join(inside, "linked"));
    symlinkSync(join(inside, "art #1?.png"), join(inside, "jobs", "near.png"));
    const may = async (path: string, from = recipe) => isInside(path, await boundary.of(from));
    const answers = [
      await may(join(inside, "art #1?.png")),
      await may(join(inside, "jobs", "near.png")),
      await may(join(inside, "none", "at", "all.png")),
      await may(join(outside, "art #1?.png")),
      await may(join(inside, "..", `${NAMED} too`, "art #1?.png")),
      await may(join(inside, "link.png")),
      await may(join(inside, "linked", "art #1?.png")),
      await may(join(inside, "linked", "none.png")),
      await may("/etc/passwd"),
    ];
    expect(answers).toEqual([true, true, true, false, false, false, false, false, false]);
    expect(await may(join(inside, "art #1?.png"), join(outside, "b.sep.yaml"))).toBe(true);
    expect(await may(join(outside, "art #1?.png"), join(outside, "b.sep.yaml"))).toBe(true);
    expect(await may("/etc/passwd", join(outside, "b.sep.yaml"))).toBe(true);
    // The folder itself is inside, the one around it is not; a name that only begins with dots is.
    expect([await may(inside), await may(top), await may(join(inside, "..art.png"))]).toEqual([
      true,
      false,
      true,
    ]);
    expect(await new Boundary(() => []).of(recipe)).toBeUndefined();
    expect(
      await isInside(join(outside, "art #1?.png"), await new Boundary(() => [inside, top]).of(recipe)),
    ).toBe(true);
    boundary.open = true;
    expect(await may("/etc/passwd")).toBe(true);
  });

  it("by one recipe's leave alone: a link to a recipe elsewhere is still the workspace's", async () => {
    const { inside, outside } = await folders();
    writeFileSync(join(outside, "a.sep.yaml"), SOUND);
    symlinkSync(join(outside, "a.sep.yaml"), join(inside, "a.sep.yaml"));
    const boundary = new Boundary(() => [inside]);
    expect(await isInside(join(outside, "art #1?.png"), await boundary.of(join(inside, "a.sep.yaml")))).toBe(
      false,
    );
  });
});

it("a recipe is told where what it names lies outside, and nothing of it is read", async () => {
  const { inside } = await folders();
  const workspace = new Workspace(() => undefined);
  workspace.files.folders = [inside];
  const file = join(inside, "jobs", "a.sep.yaml");
  const uri = pathToFileURL(file).href;
  const found = async (up: string) => {
    const text = `${SOUND.replace("art.png", `"${up}art #1?.png"`).replace("ink: ember", "ink: sea")}shop: '${up.replaceAll("'", "''")}shelf.shop.yaml'\nscreening: { wedge: { file: '${up.replaceAll("'", "''")}wedge.txt', tone: T } }\n`;
    writeFileSync(
      file,
      text.replace(/"(.*)art #1\?/, (_, path) => `"${path.replaceAll('"', '\\"')}art #1?`),
    );
    const model = await workspace.checked(uri);
    return { model, messages: model!.findings.map(({ message }) => message) };
  };
  const within = await found("../");
  expect(within.messages.filter((message) => message.includes(OUTSIDE))).toEqual([]);
  expect(within.model?.shop).toBeDefined();

  const beyond = await found(`../../${NAMED} too/`);
  expect(beyond.model?.shop).toBeUndefined();
  expect(beyond.model?.readable).toBe(false);
  expect(beyond.messages.filter((message) => message.includes(OUTSIDE))).toEqual([
    expect.stringMatching(/^The artwork cannot be read: /),
    expect.stringMatching(/^The shop file cannot be read: /),
    expect.stringContaining("wedge.txt"),
  ]);
  workspace.files.boundary.open = true;
  expect((await workspace.checked(uri))?.shop).toBeDefined();
});

describe("the panel", () => {
  let client: TestClient;
  afterEach(() => {
    client.connection.dispose();
    client.process.kill();
  });

  it("shows no artwork from outside before its user allows it in the settings", async () => {
    const { inside, outside } = await folders();
    client = new TestClient();
    client.settings = { measure: false };
    await client.start(inside);
    const uri = pathToFileURL(join(inside, "jobs", "a.sep.yaml")).href;
    symlinkSync(join(outside, "art #1?.png"), join(inside, "jobs", "art.png"));
    await client.open(uri, SOUND);
    const ask = () =>
      client.request<PreviewResult<string>>("platewright/preview", { uri, held: { plates: {} } });
    expect(await ask()).toMatchObject({
      problem: expect.stringContaining("it lies outside of what may be read"),
      ways: ["readArtwork", "addArtworkFolder", "chooseArtwork"],
    });
    const proof = { uri, garment: "black", setup: "dark", stations: 2, without: [] };
    await expect(client.request("platewright/proofPicture", proof)).rejects.toThrow(OUTSIDE);
    // Single files that the user allows, and no others.
    const allow = (...files: string[]) =>
      client.connection.sendNotification("platewright/alsoRead", { files });
    await allow(join(outside, "other.png"));
    expect((await ask()).picture).toBeUndefined();
    await allow(join(outside, "art #1?.png"));
    await until(async () => ((await ask()).picture ? true : undefined));
    await allow();
    expect((await ask()).picture).toBeUndefined();
    client.settings = { measure: false, readOutside: true };
    await client.connection.sendNotification("workspace/didChangeConfiguration", { settings: {} });
    await until(async () => ((await ask()).picture ? true : undefined));
  });
});
