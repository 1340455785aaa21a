import { expect, it } from "vitest";
import { DEFAULT_SETTINGS, readSettings } from "../../server/lsp/settings.ts";
import { readLevels } from "../../server/rules/levels.ts";

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

it("have a deadline of a second to an hour, else the usual half minute", () => {
  const deadline = (sent: unknown) => readSettings({ deadline: sent }).deadline;
  expect([1, 3600, 12.5].map(deadline)).toEqual([1, 3600, 12.5]);
  expect([0.99, 3601, Number.NaN, "40", undefined].map(deadline)).toEqual(Array(5).fill(30));
});

it("have levels of rules as they are sent", () => {
  expect(readSettings({ rules: { moire: "off" } }).rules).toEqual(readLevels({ moire: "off" }));
  expect(readSettings({ rules: { moire: "off" } }).rules).not.toEqual(DEFAULT_SETTINGS.rules);
});

it("of an editor that sets none let nothing outside be read, and show all", () => {
  expect(DEFAULT_SETTINGS).toMatchObject({
    inlayHints: { coverage: true, screens: true, resolution: true },
    codeLenses: true,
    measure: true,
    readOutside: false,
  });
});
