import { mkdirSync, rmSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { expect, it } from "vitest";
import { OUTSIDE } from "../../server/language/outside.ts";
import { Workspace } from "../../server/lsp/workspace.ts";
import { SOUND } from "../language/documents.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();

/** A folder with a recipe that takes an ink from a shop file of an unusual name. */
function job() {
  const folder = fresh();
  const put = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    return pathToFileURL(join(folder, name)).href;
  };
  put("art.png", "is only looked for");
  const shelf = put("shelf.yaml", 'shop: 1\ninks: { ember: { colour: "#d8431f", opacity: 70% } }\n');
  const recipe = put("job.sep.yaml", `${SOUND.replace(/^ {2}ember: \{ colour.*\n/m, "")}shop: shelf.yaml\n`);
  return { recipe, shelf, put };
}

const onDisk = () => undefined;

it("takes what a recipe names as its shop file for one, also if it was opened before by itself", async () => {
  const { recipe, shelf } = job();
  const workspace = new Workspace(onDisk);
  expect((await workspace.checked(shelf))?.source.kind).toBe("recipe");
  const model = await workspace.checked(recipe);
  expect(model?.shop?.source.kind).toBe("shop");
  expect(model?.recipes.map(({ uri }) => uri)).toEqual([recipe]);
  expect(model?.findings).toEqual([]);
});

it("believes the editor what a document is, before its name", async () => {
  const { shelf } = job();
  const text = { version: 1, languageId: "separation-shop", getText: () => "shop: 1\n" };
  const workspace = new Workspace((uri) => (uri === shelf ? text : undefined));
  const model = await workspace.checked(shelf);
  expect(model?.source.kind).toBe("shop");
  expect(model?.findings).toEqual([]);
});

it("counts to a shop file the recipes that use it, and no others", async () => {
  const { recipe, shelf, put } = job();
  put("other.shop.yaml", 'shop: 1\ninks: { ember: { colour: "#d8431f", opacity: 70% } }\n');
  put("other.sep.yaml", `${SOUND}shop: other.shop.yaml\n`);
  const workspace = new Workspace(onDisk);
  workspace.files.folders = [dirname(fileURLToPath(recipe))];
  expect((await workspace.files.recipes()).length).toBe(2);
  expect((await workspace.wideModel(recipe))?.recipes.map(({ uri }) => uri)).toEqual([recipe]);
  const text = { version: 1, languageId: "separation-shop", getText: () => "shop: 1\n" };
  const open = new Workspace((uri) => (uri === shelf ? text : undefined));
  open.files.folders = workspace.files.folders;
  expect((await open.wideModel(shelf))?.recipes.map(({ uri }) => uri)).toEqual([recipe]);
});

it("finds recipes in folders of folders, but in none that is hidden, built or installed", async () => {
  const folder = fresh();
  for (const [path, found] of [
    ["a.sep.yaml", true],
    ["in/side/b.SEP.YML", true],
    ["dist too/c.sep.yaml", true],
    ["in/plain.yaml", false],
    [".git/d.sep.yaml", false],
    ["in/node_modules/e.sep.yaml", false],
    ["dist/f.sep.yaml", false],
    ["build/g.sep.yaml", false],
  ] as const) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), found ? SOUND : "recipe: 1\n");
  }
  const workspace = new Workspace(onDisk);
  // A folder that is not there, and one named twice, do no harm.
  workspace.files.folders = [folder, join(folder, "none"), join(folder, "in")];
  const names = (await workspace.files.recipes()).map(({ uri }) => uri.slice(uri.lastIndexOf("/") + 1));
  expect(names.sort()).toEqual(["a.sep.yaml", "b.SEP.YML", "c.sep.yaml"]);
});

it("sees a file that changed on disk", async () => {
  const { recipe, put } = job();
  const workspace = new Workspace(onDisk);
  expect((await workspace.checked(recipe))?.findings).toEqual([]);
  put("shelf.yaml", "shop: 1\n");
  expect((await workspace.checked(recipe))?.findings.map(({ rule }) => rule)).toEqual(["unknown-name"]);
});

it("has the editor's text before the disk's, and the disk's again when it is closed", async () => {
  const { recipe } = job();
  let open: { version: number; languageId: string; getText(): string } | undefined;
  const workspace = new Workspace((uri) => (uri === recipe ? open : undefined));
  open = { version: 1, languageId: "separation-recipe", getText: () => "recipe: 2\n" };
  expect((await workspace.checked(recipe))?.source.text).toBe("recipe: 2\n");
  open = undefined;
  workspace.close(recipe);
  expect((await workspace.checked(recipe))?.findings).toEqual([]);
});

it("knows nothing of a file that is not there", async () => {
  expect(await new Workspace(onDisk).model(pathToFileURL(join(fresh(), "no.sep.yaml")).href)).toBeUndefined();
});

it("reads the measurements that a shop file names, again when they change", async () => {
  const { recipe, put } = job();
  put(
    "shelf.yaml",
    "shop: 1\ninks: { ember: { readings: { file: dd.txt, over-white: a, over-black: b } } }\n",
  );
  const readings = (a: string) =>
    `CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n${a} 56 50 40\nb 40 30 20\nEND_DATA\n`;
  const workspace = new Workspace(onDisk);
  const messages = async () => (await workspace.checked(recipe))?.findings.map(({ message }) => message);
  expect(await messages()).toEqual([expect.stringContaining("dd.txt: there is no such file")]);
  put("dd.txt", readings("a"));
  expect(await messages()).toEqual([]);
  put("dd.txt", readings("other"));
  expect(await messages()).toEqual(['dd.txt:1:1: there is no sample "a"; did you mean "b"?']);
});

it("makes a model once, until anything that it was made of changes", async () => {
  const { recipe, put } = job();
  const wedge = (tone: number) =>
    `CGATS.17\nNUMBER_OF_FIELDS 2\nBEGIN_DATA_FORMAT\nDOT_PERCENT LAB_L\nEND_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\n${tone} 60\nEND_DATA\n`;
  put("wedge.txt", wedge(50));
  put(
    "shelf.yaml",
    'shop: 1\ninks: { ember: { colour: "#d8431f", opacity: 70% } }\nscreening: { wedge: { file: wedge.txt } }\n',
  );
  const workspace = new Workspace(onDisk);
  let last = await workspace.checked(recipe);
  const isNew = async () => {
    const model = await workspace.checked(recipe);
    const changed = model !== last;
    last = model;
    return changed;
  };
  expect(await isNew()).toBe(false);
  const changes: Record<string, () => unknown> = {
    recipe: () => put("job.sep.yaml", `${last!.source.text}# more\n`),
    "shop file": () => put("shelf.yaml", `${last!.shop!.source.text}# more\n`),
    readings: () => put("wedge.txt", `${wedge(50)}# more\n`),
    "readings gone": () => rmSync(join(dirname(fileURLToPath(recipe)), "wedge.txt")),
    artwork: () => rmSync(join(dirname(fileURLToPath(recipe)), "art.png")),
    measurements: () =>
      workspace.setMeasured(recipe, { measurements: { plates: new Map() } as never, marks: [] }),
    levels: () => {
      workspace.levels = new Map();
    },
    "shop file gone": () => rmSync(join(dirname(fileURLToPath(recipe)), "shelf.yaml")),
  };
  for (const [what, change] of Object.entries(changes)) {
    change();
    expect([what, await isNew()]).toEqual([what, true]);
    expect([what, await isNew()]).toEqual([what, false]);
  }
});

it("sees that a file on disk changed, whatever the clock says", async () => {
  const { recipe, put } = job();
  const workspace = new Workspace(onDisk);
  const hues = async () => {
    const model = await workspace.checked(recipe);
    return /#\w+/.exec(model?.shop?.source.text ?? "")?.[0];
  };
  expect(await hues()).toBe("#d8431f");
  const { atime, mtime } = statSync(fileURLToPath(recipe.replace("job.sep.yaml", "shelf.yaml")));
  for (const [colour, at] of [
    ["#d8431e", new Date(0)],
    ["#d8431d", new Date("2099-01-01")],
    ["#d8431c", mtime],
    ["#d8431b", mtime],
  ] as const) {
    const uri = put("shelf.yaml", `shop: 1\ninks: { ember: { colour: "${colour}", opacity: 70% } }\n`);
    utimesSync(fileURLToPath(uri), atime, at);
    expect(await hues()).toBe(colour);
  }
});

it("makes one model for the questions that a keystroke brings together, and asks the rules once", async () => {
  const { recipe, put } = job();
  // Measurements lie in a file of their own, which each question looks at.
  put("wedge.txt", "not read yet");
  put(
    "shelf.yaml",
    'shop: 1\ninks: { ember: { colour: "#d8431f", opacity: 70% } }\nscreening: { wedge: { file: wedge.txt } }\n',
  );
  const onDisk = await new Workspace(() => undefined).model(recipe);
  const typed = { version: 1, languageId: "separation-recipe", getText: () => onDisk!.source.text };
  const workspace = new Workspace((uri) => (uri === recipe ? typed : undefined));
  await workspace.model(recipe);
  typed.version++;
  const [first, second] = await Promise.all([workspace.model(recipe), workspace.model(recipe)]);
  expect(second).toBe(first);
  const checked = await Promise.all([workspace.checked(recipe), workspace.checked(recipe)]);
  expect(checked[1]).toBe(checked[0]);
  expect(checked[0]?.source).toBe(first?.source);
});

it("tells the recipe before the rules have looked at the job, and that there is none to be read", async () => {
  const { recipe, shelf, put } = job();
  const workspace = new Workspace(onDisk);
  const check = (await workspace.check(recipe))!;
  const told: string[] = [];
  const [read, checked] = await Promise.all([
    check.recipe.finally(() => told.push("recipe")),
    check.checked.finally(() => told.push("findings")),
  ]);
  expect(told).toEqual(["recipe", "findings"]);
  expect([...read!.inks.keys()]).toContain("ember");
  expect(checked).toBe(await workspace.checked(recipe));

  const broken = put("broken.sep.yaml", `${SOUND}merges:\n  - { fold: nobody, into: base }\n`);
  expect(await (await workspace.check(broken))!.recipe).toBeUndefined();
  expect((await workspace.checked(broken))?.findings.map(({ level }) => level)).toContain("error");
  expect(await (await workspace.check(shelf))!.recipe).toBeUndefined();
  expect(await workspace.check(`${shelf}.gone`)).toBeUndefined();
});

const ORDER: string = `order: 1
title: An order
prints:
  front: { recipe: job.sep.yaml, place: front, keep: true }
lines:
  - { garment: black, sizes: { M: 1 }, prints: [front] }
`;

it("has an order's recipes with it, again when one of them changes, and says which is not there", async () => {
  const { recipe, put } = job();
  const order = put("job.order.yaml", ORDER);
  const texts = new Map([[order, { version: 1, languageId: "separation-order", getText: () => ORDER }]]);
  const workspace = new Workspace((uri) => texts.get(uri));
  const model = await workspace.checked(order);
  expect(model?.source.kind).toBe("order");
  expect(model?.recipes.map(({ uri }) => uri)).toEqual([recipe]);
  expect(model?.findings.filter(({ rule }) => rule === "missing-file")).toEqual([]);
  expect((await workspace.checked(order))?.recipes[0]).toBe(model?.recipes[0]);
  texts.set(recipe, { version: 2, languageId: "separation-recipe", getText: () => `${SOUND}\n` });
  expect((await workspace.model(order))?.recipes[0]?.source.text).toBe(`${SOUND}\n`);
  rmSync(fileURLToPath(recipe));
  texts.delete(recipe);
  workspace.forget(recipe);
  const without = await workspace.checked(order);
  expect(without?.recipes).toEqual([]);
  expect(without?.findings.map(({ message }) => message).join()).toContain("job.sep.yaml");
});

it("takes a document for an order by what the editor says, whatever its name", async () => {
  const { put } = job();
  const uri = put("today.yaml", ORDER);
  const text = { version: 1, languageId: "separation-order", getText: () => ORDER };
  const workspace = new Workspace((asked) => (asked === uri ? text : undefined));
  expect((await workspace.model(uri))?.source.kind).toBe("order");
});

it("knows files that stand near one that is missing, and asks for none beside one that is there", async () => {
  const { recipe, put } = job();
  put("arts.png", "near");
  put("shelves.yaml", "near too");
  const workspace = new Workspace(onDisk);
  const none = { artwork: [], shop: [] };
  expect(await workspace.nearFilesOf(recipe)).toEqual(none);
  rmSync(fileURLToPath(new URL("art.png", recipe)));
  expect(await workspace.nearFilesOf(recipe)).toEqual({ artwork: ["arts.png"], shop: [] });
});

it("lets a document that is on no disk name no file that is", async () => {
  const workspace = new Workspace(onDisk);
  expect(await workspace.files.within("untitled:job.sep.yaml")).toEqual([]);
  const { recipe, shelf } = job();
  expect(await workspace.files.mayRead("untitled:job.sep.yaml", shelf)).toBe(false);
  expect(await workspace.files.mayRead(recipe, shelf)).toBe(true);
});

it("tells that artwork cannot be read as long as that one is named and there", async () => {
  const { recipe } = job();
  const workspace = new Workspace(onDisk);
  const rules = async () => (await workspace.checked(recipe))?.findings.map(({ rule }) => rule);
  const measured = (artwork: string) => ({
    measurements: undefined,
    marks: [],
    problem: { artwork, message: "it is no picture" },
  });
  workspace.setMeasured(recipe, measured("art.png") as never);
  expect(await rules()).toEqual(["unreadable-artwork"]);
  workspace.setMeasured(recipe, measured("an-older.png") as never);
  expect(await rules()).toEqual([]);
  rmSync(fileURLToPath(new URL("art.png", recipe)));
  workspace.setMeasured(recipe, measured("art.png") as never);
  expect(await rules()).toEqual(["missing-file"]);
});

it("says of readings that lie outside only that, whether they are there or not", async () => {
  const { recipe } = job();
  const workspace = new Workspace(onDisk);
  workspace.files.folders = [dirname(fileURLToPath(recipe))];
  const outside = fresh();
  writeFileSync(join(outside, "there.txt"), "CGATS.17\n");
  for (const name of ["there.txt", "gone.txt"])
    await expect(workspace.files.textBeside(recipe, pathToFileURL(join(outside, name)).href)).rejects.toThrow(
      OUTSIDE,
    );
});
