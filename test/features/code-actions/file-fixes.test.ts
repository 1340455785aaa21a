import { describe, expect, it } from "vitest";
import { type NearFiles, NO_FILES } from "../../../server/features/code-actions/file-fixes.ts";
import { codeActions } from "../../../server/features/code-actions.ts";
import type { CheckedModel } from "../../../server/features/model.ts";
import { recipeAtHand } from "../../../server/features/panel/at-hand.ts";
import { OUTSIDE } from "../../../server/language/outside.ts";
import { assembleProject, FileError } from "../../../server/language/project.ts";
import { checkProject, lacksShopAlone } from "../../../server/rules/check.ts";
import { cursor, edited, read, SOUND } from "../model.ts";

const WITH_SHOP = SOUND.replace("recipe: 1\n", "recipe: 1\nshop: ../our.shop.yaml\n");
const FROM_SHELF = WITH_SHOP.replace(/ {2}ember: \{ colour.*\n/, "");

/** The model of a recipe whose shop file or artwork is not read. */
function lacking(marked: string, shop: FileError | undefined, artwork: boolean | FileError) {
  const place = read(marked);
  const findings = checkProject(assembleProject(place.model.source, shop, [artwork]));
  const model: CheckedModel = { ...place.model, findings };
  return { model, place: { ...place, model } };
}

function offered(at: ReturnType<typeof lacking>, files: NearFiles = NO_FILES) {
  return codeActions(at.model, cursor(at.place), { only: ["quickfix"] }, files);
}

describe("artwork that is not there", () => {
  const at = () => lacking(SOUND.replace("art.png", "a|rt.png"), undefined, false);

  it("is looked for among the files beside it, or chosen", () => {
    const found = offered(at(), { ...NO_FILES, artwork: ["art.tif"] });
    expect(found.map(({ title }) => title)).toEqual(["Write art.tif", "Choose the artwork…"]);
    expect(found[0]!.isPreferred).toBe(true);
    expect(edited(at().model, found[0]!.edit)).toBe(SOUND.replace("art.png", "art.tif"));
    expect(found[1]!.command).toMatchObject({
      command: "platewright.goWayOut",
      arguments: [at().model.uri, "chooseArtwork"],
    });
  });
});

describe("a shop file outside of the workspace", () => {
  const outside = new FileError("/shop/our.shop.yaml", OUTSIDE);

  it("can be read by itself, with its folder, or another can be chosen", () => {
    const titles = offered(lacking(WITH_SHOP.replace("../our", "../o|ur"), outside, true)).map(
      ({ title }) => title,
    );
    expect(titles).toEqual([
      "Read this shop file",
      "Add the shop file's folder to the workspace",
      "Choose the shop file…",
    ]);
  });

  it("leaves the recipe to be shown with its own inks", () => {
    const { model } = lacking(FROM_SHELF, outside, true);
    expect(lacksShopAlone(model.findings)).toBe(true);
    const atHand = recipeAtHand(model)!;
    expect([...atHand.unknown]).toEqual(["ember"]);
    expect([...atHand.recipe.plates.keys()]).toEqual(["base", "ember"]);
  });

  it("leaves nothing to be shown where tones follow from its inks", () => {
    const matched = FROM_SHELF.replace("ink: ember,", "ink: ember, strength: match,");
    const solved = FROM_SHELF.replace("{ hue: [350, 50] }", "{ solve: jointly }");
    for (const text of [matched, solved])
      expect(recipeAtHand(lacking(text, outside, true).model)).toBeUndefined();
  });

  it("is not all that is wrong with a recipe that has another error", () => {
    const { model } = lacking(FROM_SHELF.replace("[black]", "[blakc]"), outside, true);
    expect(lacksShopAlone(model.findings)).toBe(false);
  });
});
