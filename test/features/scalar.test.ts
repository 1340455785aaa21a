import { expect, it } from "vitest";
import { parse } from "yaml";
import { plainScalar } from "../../server/features/scalar.ts";

it.each(["ember", "Über-2", "two words", "a'b"])("%s stays plain", (text) => {
  expect(plainScalar(text)).toBe(text);
});

it.each([
  "",
  " a",
  "null",
  "true",
  "12",
  "0x10",
  "~",
  '"',
  "'",
  '"open',
  "@a",
  "`a",
  "%00",
  "%YAML 9",
  "a: b",
  "a #b",
  "a, b",
  ",a",
  "- a",
  "? a",
  "[a",
  "a]",
  "{a}",
  "&a",
  "&a b",
  "*a",
  "!a b",
  "|",
  ">",
  "---",
  "...",
  "--- a\n--- b",
  "a\nb",
  "a\tb",
  "\u0000",
  "\ufeff",
  "__proto__: 1",
])("%j is put in quotes, whatever it does to a reader, and reads back", (text) => {
  const warned: unknown[] = [];
  const listen = (warning: unknown) => warned.push(warning);
  process.on("warning", listen);
  expect(plainScalar(text)).toBe(JSON.stringify(text));
  expect(parse(`a: [${plainScalar(text)}]`)).toEqual({ a: [text] });
  process.off("warning", listen);
  expect(warned).toEqual([]);
});
