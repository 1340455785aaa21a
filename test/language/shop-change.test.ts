import { expect, it } from "vitest";
import { aliasOn, valueAt, withChanges } from "../../server/language/shop-change.ts";

const TEXT = `shop: 1
# The ink library, in the order of the drawer.
inks:
  ember: { colour: "#d8431f", opacity: 70% } # from lot 7
  rose:
    colour: lab(52 58 -4) # fresh
    opacity: 70%
screening: { ruling: 45 lpi }
`;

it("changes values, adds and takes away keys, and keeps all else with its comments", () => {
  const text = withChanges(TEXT, [
    { path: ["inks", "ember", "opacity"], value: undefined },
    {
      path: ["inks", "ember", "gain"],
      value: [
        [0, 0],
        [50, 66.5],
        [100, 100],
      ],
    },
    { path: ["inks", "rose", "opacity"], value: "71%" },
    { path: ["press", "misregistration"], value: "0.2 mm" },
  ]);
  expect(text).toBe(`shop: 1
# The ink library, in the order of the drawer.
inks:
  ember: { colour: "#d8431f", gain: [[0, 0], [50, 66.5], [100, 100]] } # from lot 7
  rose:
    colour: lab(52 58 -4) # fresh
    opacity: 71%
screening: { ruling: 45 lpi }
press:
  misregistration: 0.2 mm
`);
});

it("writes no value in the place of a text that looks like its own marks", () => {
  const text = "a: changed-value0.\nb: 1\n";
  expect(withChanges(text, [{ path: ["b"], value: 2 }])).toBe("a: changed-value0.\nb: 2\n");
});

it("finds the alias that a path runs into", () => {
  const text = "inks:\n  a: &x { colour: red }\n  b: *x\n";
  expect(aliasOn(text, ["inks", "b", "gain"])).toEqual(["inks", "b"]);
  expect(aliasOn(text, ["inks", "a", "gain"])).toBeUndefined();
});

it("values are found by their path, and nothing that a name inherits", () => {
  expect(valueAt({ a: { b: [1, 2] } }, ["a", "b", 1])).toBe(2);
  expect(valueAt({}, ["constructor"])).toBeUndefined();
});
