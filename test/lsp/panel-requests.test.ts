import { spawnSync } from "node:child_process";
import { mkdirSync, renameSync, rmSync, unlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { inflateRawSync } from "node:zlib";
import sharp from "sharp";
import { afterEach, describe, expect, it } from "vitest";
import { OUTSIDE } from "../../server/language/outside.ts";
import type { LeftOver, PreviewResult } from "../../server/wire/panel.ts";
import { SMALL_RECIPE, smallJob } from "../client/panel/jobs.ts";
import { TestClient, until } from "./client.ts";

const folders: string[] = [];
let client: TestClient;
let notices: number;

afterEach(() => {
  client.process.kill();
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

async function open(text = SMALL_RECIPE, options?: unknown): Promise<{ folder: string; uri: string }> {
  const folder = await smallJob(text);
  folders.push(folder);
  client = new TestClient();
  client.settings = { measure: false };
  notices = 0;
  client.connection.onNotification("platewright/changed", () => {
    notices++;
  });
  await client.start(folder, {}, options);
  const uri = pathToFileURL(join(folder, "job.sep.yaml")).href;
  await client.open(uri, text);
  return { folder, uri };
}

const preview = (uri: string, more: object = {}) =>
  client.request<PreviewResult<string>>("platewright/preview", { uri, held: { plates: {} }, ...more });

describe("the server answers a proof panel", () => {
  it("with the job, the findings, the artwork and every plate that has a screen", async () => {
    const { uri } = await open();
    const { version, findings, job, picture } = await preview(uri);
    expect([version, findings.map(({ level, plates }) => [level, plates]), job?.title]).toEqual([
      1,
      [
        ["warning", ["base"]],
        ["note", []],
      ],
      "Four quarters",
    ]);
    expect(picture?.plates.map(({ name }) => name)).toEqual(["base", "ember", "leaf", "sea"]);
    const tones = inflateRawSync(Buffer.from(picture!.plates[1]!.bytes!, "base64"));
    // A fifth of the frame is clear on each side; a quarter of what remains is red.
    expect(tones.filter((tone) => tone === 255).length).toBe(80 * 80);
  });

  it("with what the text alone says, where that is asked", async () => {
    const { folder, uri } = await open();
    unlinkSync(join(folder, "art.png"));
    const { job, findings, picture, problem } = await preview(uri, { quick: "job" });
    expect([job?.title, findings.length > 0, picture, problem]).toEqual([
      "Four quarters",
      true,
      undefined,
      undefined,
    ]);
  });

  it("at low resolution of large artwork first, and then all of it", async () => {
    const { folder, uri } = await open();
    await sharp(join(folder, "art.png")).resize(1000, 1000).png().toFile(join(folder, "large.png"));
    await client.change(uri, { text: SMALL_RECIPE.replace("art.png", "large.png") });
    const side = async (more: object) => {
      const { picture } = await preview(uri, more);
      return [picture?.lowResolution, picture?.artwork.width];
    };
    expect(await side({ quick: "lowResolution" })).toEqual([true, 316]);
    expect(await side({})).toEqual([undefined, 1000]);
    expect(await side({ quick: "lowResolution" })).toEqual([undefined, 1000]);
  });

  it("about the text as it stands, saved or not", async () => {
    const { uri } = await open();
    const version = await client.change(uri, { text: SMALL_RECIPE.replace("Four quarters", "Unsaved") });
    expect(await preview(uri)).toMatchObject({ version, job: { title: "Unsaved" } });
  });

  it("with findings alone where the text has errors", async () => {
    const { uri } = await open(SMALL_RECIPE.replace("ink: leaf,", "ink: laef,"));
    const { findings, job, picture } = await preview(uri);
    expect([job, picture]).toEqual([undefined, undefined]);
    expect(findings[0]).toMatchObject({ level: "error", plates: ["leaf"], inShop: false });
  });

  it("with the job and one line where the artwork cannot be read", async () => {
    const { folder, uri } = await open();
    writeFileSync(join(folder, "art.png"), "no picture");
    expect(await preview(uri)).toMatchObject({
      job: {},
      problem: expect.stringMatching(/^[^\n]*not a picture[^\n]*$/),
    });
    unlinkSync(join(folder, "art.png"));
    expect((await preview(uri)).problem).toMatch(/there is no such file/);
  });

  it("without artwork where the workspace is not trusted", async () => {
    const { uri } = await open(SMALL_RECIPE, { readArtwork: false });
    expect(await preview(uri)).toMatchObject({ problem: expect.stringContaining("not trusted") });
    expect(await preview(uri, { committed: true })).toMatchObject({
      problem: expect.stringContaining("not trusted"),
    });
    const picture = client.request("platewright/proofPicture", {
      uri,
      garment: "black",
      setup: "dark",
      without: [],
    });
    await expect(picture).rejects.toThrow("not trusted");
  });

  it("with a proof at print size, some plates left out for a look", async () => {
    const { uri } = await open();
    const ask = (without: string[]) =>
      client.request<{ png: string }>("platewright/proofPicture", {
        uri,
        garment: "black",
        setup: "dark",
        stations: 5,
        without,
      });
    const pixels = async ({ png }: { png: string }) => {
      const { data, info } = await sharp(Buffer.from(png, "base64"))
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([200, 200]);
      return [...data.subarray((60 * 200 + 60) * info.channels, (60 * 200 + 60) * info.channels + 3)];
    };
    const [red, white] = [await pixels(await ask([])), await pixels(await ask(["ember"]))];
    expect(red[0]! - red[2]!).toBeGreaterThan(100);
    expect(Math.max(...white) - Math.min(...white)).toBeLessThan(20);
  });

  it("with a proof of inks and screens as their readings say", async () => {
    const { folder, uri } = await open();
    writeFileSync(
      join(folder, "dd.txt"),
      "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\nw 40 0 60\nb 38 0 58\nEND_DATA\n",
    );
    const ask = async (ember: string) => {
      const version = await client.change(uri, {
        text: SMALL_RECIPE.replace('{ colour: "#d8431f", opacity: 70% } # the warm one', ember),
      });
      await client.findings(uri, version);
      const question = { uri, garment: "black", setup: "dark", stations: 5, without: [] };
      const { png } = await client.request<{ png: string }>("platewright/proofPicture", question);
      return png;
    };
    const measured = await ask("{ readings: { file: dd.txt, over-white: w, over-black: b } }");
    expect(measured).toBe(await ask("{ over-white: lab(40 0 60), over-black: lab(38 0 58) }"));
  });

  it("with what keeps the prints from being nearer, a garment each", async () => {
    const { uri } = await open();
    const { garments } = await client.request<LeftOver>("platewright/left", { uri });
    expect(garments.map(({ garment }) => garment)).toEqual(["black", "white"]);
    expect(garments[0]!.text).toMatch(/^ΔE00 \d+\.\d\d at sampled pixels, /);
    await client.change(uri, { text: SMALL_RECIPE.replace("plates:", "plates: [") });
    expect(await client.request("platewright/left", { uri })).toBeNull();
  });

  it("with nothing about what is no recipe", async () => {
    const { folder } = await open();
    const uri = pathToFileURL(join(folder, "inks.shop.yaml")).href;
    await client.open(uri, "shop: 1\n", "separation-shop");
    expect(await preview(uri)).toBeNull();
    expect(
      await client.request("platewright/placeAt", { uri, position: { line: 0, character: 0 } }),
    ).toBeNull();
    expect(await client.request("platewright/rangeOf", { uri, path: ["shop"] })).toBeNull();
    expect(
      await client.request("platewright/why", {
        uri,
        plate: "base",
        point: { x: 1, y: 1, rgba: [0, 0, 0, 255] },
      }),
    ).toBeNull();
    expect(notices).toBe(0);
  });

  it("and tells it of other files' changes, once it has asked", async () => {
    const { folder, uri } = await open();
    const shop = pathToFileURL(join(folder, "inks.shop.yaml")).href;
    await client.open(shop, "shop: 1\n", "separation-shop");
    await preview(uri);
    expect(notices).toBe(0);
    await client.change(shop, { text: "shop: 1 # changed\n" });
    await until(() => (notices === 1 ? true : undefined));
    await client.connection.sendNotification("workspace/didChangeWatchedFiles", {
      changes: [{ uri: shop, type: 2 }],
    });
    await until(() => (notices === 2 ? true : undefined));
  });
});

describe.skipIf(spawnSync("git", ["--version"]).status !== 0)("beside the last commit (needs git)", () => {
  function commit(folder: string): void {
    for (const args of [
      ["init", "-q"],
      ["add", "."],
      ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org", "commit", "-q", "-m", "one"],
    ])
      expect(spawnSync("git", args, { cwd: folder }).status).toBe(0);
  }
  const committed = async (uri: string) => {
    const { job, picture, problem } = await preview(uri, { committed: true });
    return [job?.title, picture?.plates.length, problem];
  };

  it("says in one line why there is nothing to compare with", async () => {
    const { folder, uri } = await open();
    expect(await committed(uri)).toEqual([
      undefined,
      undefined,
      expect.stringMatching(/^this folder is in no git/),
    ]);
    expect(await committed("untitled:Untitled-1")).toEqual([
      undefined,
      undefined,
      "this recipe is on no disk, so no commit holds it",
    ]);
    writeFileSync(join(folder, "job.sep.yaml"), SMALL_RECIPE.replace("ink: leaf,", "ink: laef,"));
    commit(folder);
    expect(await committed(uri)).toEqual([undefined, undefined, "the recipe has errors in the last commit"]);
    writeFileSync(join(folder, "job.sep.yaml"), SMALL_RECIPE);
    commit(folder);
    expect(await committed(uri)).toEqual(["Four quarters", 4, undefined]);
    unlinkSync(join(folder, "art.png"));
    commit(folder);
    expect(await committed(uri)).toEqual([
      undefined,
      undefined,
      expect.stringMatching(/art\.png: it is not in the commit/),
    ]);
  });

  it("reads no shop file of the commit that lies outside of the workspace", async () => {
    const { folder } = await open();
    // The workspace is a folder of the repository.
    const job = join(folder, "job");
    mkdirSync(job);
    renameSync(join(folder, "art.png"), join(job, "art.png"));
    writeFileSync(join(folder, "shelf.shop.yaml"), "shop: 1\n");
    writeFileSync(join(job, "job.sep.yaml"), `${SMALL_RECIPE}shop: ../shelf.shop.yaml\n`);
    commit(folder);
    const inJob = pathToFileURL(join(job, "job.sep.yaml")).href;
    expect(await committed(inJob)).toEqual(["Four quarters", 4, undefined]);
    client.process.kill();
    client = new TestClient();
    client.settings = { measure: false };
    await client.start(job);
    expect(await committed(inJob)).toEqual([undefined, undefined, expect.stringContaining(OUTSIDE)]);
  });

  it("plates that are the same have the same key, and their artwork does not travel twice", async () => {
    const { folder, uri } = await open();
    commit(folder);
    await client.change(uri, { text: SMALL_RECIPE.replace("within: 10\n", "within: 3\n") });
    const now = (await preview(uri)).picture!;
    const then = await preview(uri, { committed: true, held: { artwork: now.artwork.key, plates: {} } });
    expect(then.commit).toMatch(/^[0-9a-f]{40}$/);
    expect(then.picture!.artwork.bytes).toBeUndefined();
    const keys = (plates: typeof now.plates) =>
      Object.fromEntries(plates.map(({ name, key }) => [name, key]));
    const [before, after] = [keys(then.picture!.plates), keys(now.plates)];
    expect(Object.keys(after).filter((name) => after[name] !== before[name])).toEqual(["ember"]);
  });
});
