import { expect, it } from "vitest";
import { findingsOf } from "../example.ts";

const twoBases = (order: string) => `plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  second: { ink: white, purpose: underbase, extract: { lightness: [50, 100] } }
  ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
setups:
  dark: { garments: [black], order: [${order}] }
`;
const wet = (order: string) =>
  findingsOf(twoBases(order)).filter(({ rule }) => rule === "flash-after-underbase");

it("every underbase is flashed before colours, not the last alone", () => {
  expect(wet("base, ember, second, flash, black")).toMatchObject([
    { path: ["setups", "dark", "order", 0], data: { add: { index: 1, text: "flash" } } },
  ]);
});

it("two underbases may be flashed together", () => {
  expect(wet("base, second, flash, ember, black")).toEqual([]);
});
