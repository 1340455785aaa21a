import { expect, it } from "vitest";
import { extensionPage } from "../../../client/package/extension-page.ts";

it("has its pictures in the text", () => {
  const readme = "One.\n\n![A](pictures/a.png)\n\nTwo.\n";
  const page = extensionPage(readme, (path) => new TextEncoder().encode(path));
  expect(page).toBe(`One.\n\n![A](data:image/png;base64,${btoa("pictures/a.png")})\n\nTwo.\n`);
});

it("leaves of links to files their words, and other links as they are", () => {
  const readme = "[key](schemas/README.md#key), [below](#rules), [site](https://example.org)";
  const none = () => new Uint8Array();
  expect(extensionPage(readme, none)).toBe("key, [below](#rules), [site](https://example.org)");
});
