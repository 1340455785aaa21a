import sharp from "sharp";
import { expect, it } from "vitest";
import { TEMPLATES } from "../../server/features/templates.ts";
import { platewright, put } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();

it("are sound jobs by every rule, once the artwork is there", async () => {
  const folder = fresh();
  const drawing =
    '<svg xmlns="http://www.w3.org/2000/svg" width="3600" height="3600"><circle cx="1800" cy="1800" r="1700" fill="#d03820"/><circle cx="1800" cy="1800" r="600" fill="#101010"/></svg>';
  put(folder, "artwork.png", await sharp(Buffer.from(drawing)).png().toBuffer());
  put(folder, "job.sep.yaml", TEMPLATES.recipe.replace("title:", "shop: our.shop.yaml\ntitle:"));
  put(folder, "our.shop.yaml", TEMPLATES.shop);
  put(folder, "alone.sep.yaml", TEMPLATES.recipe);
  const { status, out } = await platewright(folder, "check", ".");
  expect([status, out]).toEqual([0, expect.stringContaining("no problems")]);
});
