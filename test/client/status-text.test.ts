import { expect, it } from "vitest";
import { statusOf } from "../../client/status-text.ts";

const dark = { name: "dark", screens: 8, stations: 10 };
const none = { error: 0, warning: 0, note: 0 };
const light = { name: "light", screens: 6, stations: 6 };

it("tells the fullest setup, and that nothing was found", () => {
  const { text, tooltip, full } = statusOf({ press: 10, setups: [light, dark] }, none);
  expect(text).toBe("$(list-ordered) 10/10 stations $(check)");
  expect(full).toBe(false);
  expect(tooltip).toContain(
    "| light | 6 | 6 |\n| dark | 8 | 10 |\n\nThe press has 10 stations. No findings.",
  );
});

it("warns where a setup does not fit the press", () => {
  expect(statusOf({ press: 9, setups: [dark] }, { ...none, error: 1, note: 1 })).toMatchObject({
    text: "$(list-ordered) 10/9 stations $(error) 1",
    full: true,
  });
});

it("says so where no shop file tells the press, and where there is no setup yet", () => {
  expect(statusOf({ setups: [dark] }, { ...none, warning: 1 })).toMatchObject({
    text: "$(list-ordered) 10 stations $(warning) 1",
    tooltip: expect.stringMatching(/No shop file says .* 1 warning\.$/s),
    full: false,
  });
  expect(statusOf({ press: 9, setups: [] }, { ...none, note: 3 }).text).toBe(
    "$(list-ordered) no setup $(info) 3",
  );
});

it("takes a half-written name for no markup", () => {
  const name = "a|b](command:x)\n<b>";
  expect(statusOf({ setups: [{ ...dark, name }] }, none).tooltip).toContain(
    "| a\\|b\\]\\(command:x\\) \\<b\\> | 8 | 10 |",
  );
});

it("counts errors and warnings, and the findings of each level in words", () => {
  const load = { press: 9, setups: [{ ...dark, stations: 0 }] };
  expect(statusOf(load, { error: 2, warning: 1, note: 3 })).toMatchObject({
    text: "$(list-ordered) 0/9 stations $(error) 2 $(warning) 1",
    tooltip: expect.stringMatching(/ 2 errors, 1 warning, 3 notes\.$/),
  });
  expect(statusOf(load, { ...none, note: 1 }).text).toMatch(/\$\(info\) 1$/);
  expect(statusOf({ press: 9, setups: [] }, none).tooltip).toBe("The press has 9 stations. No findings.");
});
