import { expect, it } from "vitest";
import { DEFAULT_SETTINGS, readSettings } from "../../server/lsp/settings.ts";

it.each([undefined, null, 3, "x", [], {}])("are as usual where an editor sends %j", (sent) => {
  expect(readSettings(sent)).toEqual(DEFAULT_SETTINGS);
});

it("are as usual where one is of another kind, and otherwise as they are sent", () => {
  expect(readSettings({ readOutside: "yes", codeLenses: 0, measure: null, inlayHints: [1] })).toEqual(
    DEFAULT_SETTINGS,
  );
  const all = {
    inlayHints: { coverage: false, screens: false, resolution: false },
    codeLenses: false,
    measure: false,
  };
  expect(readSettings({ ...all, readOutside: true })).toEqual({
    ...DEFAULT_SETTINGS,
    ...all,
    readOutside: true,
  });
});

it("switch off one by one", () => {
  const settings = readSettings({ inlayHints: { coverage: false, screens: "no" }, measure: false });
  expect(settings).toEqual({
    ...DEFAULT_SETTINGS,
    inlayHints: { coverage: false, screens: true, resolution: true },
    measure: false,
    readOutside: false,
  });
});
