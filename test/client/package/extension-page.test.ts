import { expect, it } from "vitest";
import { extensionPage } from "../../../client/package/extension-page.ts";

it("leaves pictures out", () => {
  const readme = "One.\n\n![A](pictures/a.png)\n![B](pictures/b.png)\n\nTwo.\n";
  expect(extensionPage(readme)).toBe("One.\n\nTwo.\n");
});

it("leaves of links to files their words, and other links as they are", () => {
  const readme = "[key](schemas/README.md#key), [below](#rules), [site](https://example.org)";
  expect(extensionPage(readme)).toBe("key, [below](#rules), [site](https://example.org)");
});
