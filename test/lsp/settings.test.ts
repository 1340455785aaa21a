import { expect, it } from "vitest";
import { readSettings, USUAL_SETTINGS } from "../../server/lsp/settings.ts";

it.each([undefined, null, 3, "x", [], {}])("are as usual where an editor sends %j", (sent) => {
  expect(readSettings(sent)).toEqual(USUAL_SETTINGS);
});

it("switch off one by one", () => {
  const settings = readSettings({ inlayHints: { coverage: false, screens: "no" }, measure: false });
  expect(settings).toEqual({
    ...USUAL_SETTINGS,
    inlayHints: { coverage: false, screens: true, resolution: true },
    measure: false,
    readOutside: false,
  });
});
