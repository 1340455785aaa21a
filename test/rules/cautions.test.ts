import { expect, it } from "vitest";
import { CAUTIONS } from "../../server/rules/cautions.ts";

const all = CAUTIONS.map(({ about, text }) => `${about}: ${text}`).join("\n");

it.each([
  /cure/i,
  /measure the temperature/,
  /exhaust|ventilation/,
  /UV/,
  /solvent/i,
  /emulsion/,
  /children/i,
])("speak of %s", (matter) => {
  expect(all).toMatch(matter);
});

it.each(CAUTIONS.map((caution) => [caution.about, caution.text]))("defer to who knows: %s", (_, text) => {
  expect(text).toMatch(/data sheet|maker|local code|law|licensed/);
});
