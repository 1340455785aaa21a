import { expect, it } from "vitest";
import { Lattice } from "../../../server/engine/solve/lattice.ts";
import { random } from "../../property.ts";

function filledWith(side: number, f: (r: number, g: number, b: number) => readonly number[]): Lattice {
  const lattice = new Lattice(side, f(0, 0, 0).length);
  for (let node = 0; node < lattice.nodes; node++) {
    const place = [Math.floor(node / (side * side)), Math.floor(node / side) % side, node % side];
    const [r, g, b] = place.map((step) => lattice.place(step));
    lattice.write(node, Float64Array.from(f(r, g, b)));
  }
  return lattice;
}

it("gives straight functions back everywhere, and any function at its nodes", () => {
  const straight = (r: number, g: number, b: number) => [0.1 + r / 510 - g / 900, b / 255];
  const bent = (r: number, g: number, b: number) => [Math.sin(r / 40) * Math.cos(g / 30) + (b / 255) ** 2];
  const next = random(1);
  const out = new Float64Array(2);
  for (let i = 0; i < 500; i++) {
    const place = [next() * 255, next() * 255, i % 5 === 0 ? 255 : next() * 255] as const;
    straight9.interpolate(...place, out);
    straight(...place).forEach((v, c) => void expect(out[c]).toBeCloseTo(v, 5));
  }
  const lattice = filledWith(9, bent);
  const one = new Float64Array(1);
  for (let node = 0; node < lattice.nodes; node += 7) {
    const place = [Math.floor(node / 81), Math.floor(node / 9) % 9, node % 9].map((s) =>
      lattice.place(s),
    ) as [number, number, number];
    lattice.interpolate(...place, one);
    expect(one[0]).toBeCloseTo(bent(...place)[0], 5);
  }
});

const straight9 = filledWith(9, (r, g, b) => [0.1 + r / 510 - g / 900, b / 255]);

it("has no step where it goes from cell to cell", () => {
  const next = random(2);
  const lattice = filledWith(5, () => [next()]);
  const [here, there] = [new Float64Array(1), new Float64Array(1)];
  for (let i = 0; i < 2000; i++) {
    const place = [next() * 255, next() * 255, next() * 255] as [number, number, number];
    // Half of them on a plane between two cells, a quarter on one between two tetrahedra.
    if (i % 2 === 0) place[i % 3] = 63.75 * (1 + (i % 4));
    else if (i % 4 === 1) place[0] = place[1];
    const beside = place.map((v) => Math.min(255, Math.max(0, v + (next() - 0.5) * 1e-6))) as [
      number,
      number,
      number,
    ];
    lattice.interpolate(...place, here);
    lattice.interpolate(...beside, there);
    expect(Math.abs(here[0] - there[0])).toBeLessThan(1e-6);
  }
});

it("mixes neutrals from neutrals alone", () => {
  const lattice = filledWith(5, (r, g, b) => [r === g && g === b ? r / 255 : 77]);
  const out = new Float64Array(1);
  for (let grey = 0; grey <= 255; grey += 3) {
    lattice.interpolate(grey, grey, grey, out);
    expect(out[0]).toBeCloseTo(grey / 255, 6);
  }
});

it("asks only for the nodes that it looks at", () => {
  const lattice = filledWith(5, () => [1]);
  const asked: number[] = [];
  const filled = new Uint8Array(lattice.nodes);
  const fill = (node: number) => {
    asked.push(node);
    filled[node] = 1;
  };
  lattice.interpolate(63.75, 127.5, 0, new Float64Array(1), { filled, fill });
  expect(asked).toEqual([1 * 25 + 2 * 5]);
  lattice.interpolate(70, 130, 9, new Float64Array(1), { filled, fill });
  expect(asked).toHaveLength(4);
  lattice.interpolate(71, 131, 8, new Float64Array(1), { filled, fill });
  expect(asked).toHaveLength(4);
});

it("numbers tetrahedra, each with nodes of its own", () => {
  const lattice = new Lattice(4, 1);
  const next = random(3);
  const nodes = new Map<number, string>();
  for (let i = 0; i < 5000; i++) {
    const number = lattice.look(next() * 255, next() * 255, next() * 255);
    const around = lattice.around.join();
    expect(nodes.get(number) ?? around).toBe(around);
    nodes.set(number, around);
    expect(lattice.weights.reduce((a, b) => a + b)).toBeCloseTo(1, 12);
  }
  expect(nodes.size).toBe(lattice.tetrahedra);
  expect(new Set(nodes.values()).size).toBe(lattice.tetrahedra);
  expect(Math.max(...nodes.keys())).toBe(lattice.tetrahedra - 1);
});

it("tells the colour of a node", () => {
  expect(new Lattice(6, 1).colourOf(2 * 36 + 5 * 6 + 1)).toEqual([102, 255, 51]);
});
