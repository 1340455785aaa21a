import { expect, it } from "vitest";
import { extensionPage } from "../../../client/package/extension-page.ts";
import { put } from "../../cli/program.ts";
import { scratch } from "../../output/folders.ts";

const { folder } = scratch();

it("writes pictures into the text, and leaves of links to files their words", async () => {
  put(folder, "pictures/a.png", Buffer.from("picture"));
  const readme =
    "![A](pictures/a.png) [key](schemas/README.md#key), [below](#rules), [site](https://example.org)";
  expect(await extensionPage(readme, folder)).toBe(
    "![A](data:image/png;base64,cGljdHVyZQ==) key, [below](#rules), [site](https://example.org)",
  );
});

it("refuses a picture that is not there", async () => {
  await expect(extensionPage("![A](pictures/none.png)", folder)).rejects.toThrow("pictures/none.png");
});
