import { type Lab, labFromLinear } from "../colour/cielab.ts";
import { linearFromSrgb } from "../colour/srgb.ts";
import { Lattice, type Needed } from "./lattice.ts";
import { printsOf, type SolvePlan, type SolvePrint } from "./plan.ts";
import { Search } from "./search.ts";

/** What the rest of the recipe says of one opaque colour. */
export interface FixedTones {
  /** Own tones 0–1 of the fixed plates, by plate number. */
  readonly tones: Float64Array;
  /** Tone 0–1 that each solved plate may reach, in the plan's order of solved plates. */
  readonly most: Float64Array;
  /** Tone 0–1 asked for of the plan's held plate, where it has one. */
  heldTo: number;
}
/** Fills in `fixed` for an opaque colour, given as CIELAB and as sRGB 0–255. */
export type FixedTonesOf = (colour: Lab, fixed: FixedTones, r: number, g: number, b: number) => void;

/** Nodes an axis of the lattices, each with half the step of the one before. The last two are filled where looked at. */
const COARSE = 9;
const MIDDLE = 17;
const FINE = [33, 65] as const;
/** Descents from a coarse node's likeliest starts. */
const DESCENTS = 12;
/** Passes over a lattice in which every node looks at its neighbours. */
const PASSES = { coarse: 8, middle: 6 };
/** What a tone's distance from its neighbours' mean costs, in ΔE00², at smoothness 1. */
const PRIOR_WEIGHT = { coarse: 16, middle: 48, fine: 18 };
/** A fine node is left to interpolation where its ΔE00 is at most this over what the nodes around it came to. */
const GOOD_ENOUGH = 0.02;
/** Between nodes that take different plates lie colours of both: where halftones are more than these, some are taken out. */
const MANY = 1.8;
/**
 * Between nodes whose tones are this far apart on some plate, and whose mixture misses by this much more ΔE00 than they
 * do, lies the border of two ways to print a colour: what is between them is neither.
 */
const DISCONTINUITY = { apart: 0.2, by: 1 };

/**
 * The tones of all solved plates as one function of the artwork's colour. Depends on the plan and on nothing of the
 * picture, so that previews and full sizes agree and neighbouring colours get neighbouring tones: found on a coarse
 * lattice from many starts, on a finer one from there while neighbours hold one another, and corrected on the finest
 * where interpolation errs, as far as colours of the picture need it.
 */
export class Solver {
  readonly #plan: SolvePlan;
  readonly #search: Search;
  readonly #fixed: FixedTones;
  readonly #fixedTonesOf: FixedTonesOf;
  /** From the middle one to the finest. */
  readonly #levels: readonly Lattice[];
  readonly #filled: readonly Uint8Array[];
  readonly #need: readonly Needed[];
  /** Of each tetrahedron between nodes of the finest: 0 not looked at, 1 whole, 2 discontinuous. */
  readonly #discontinuous: Uint8Array;
  readonly #starts: readonly Float64Array[];
  /** Tones and ΔE00 of a place in a lattice. */
  readonly #values: Float64Array;
  readonly #tones: Float64Array;
  readonly #other: Float64Array;
  readonly #best: Float64Array;

  constructor(plan: SolvePlan, fixedTonesOf: FixedTonesOf) {
    this.#plan = plan;
    this.#search = new Search(plan);
    const count = plan.solved.length;
    this.#fixed = { tones: new Float64Array(plan.plates), most: new Float64Array(count).fill(1), heldTo: 0 };
    this.#fixedTonesOf = fixedTonesOf;
    this.#values = new Float64Array(count + 1);
    this.#tones = new Float64Array(count);
    this.#other = new Float64Array(count);
    this.#best = new Float64Array(count);
    this.#starts = startsOf(plan);
    // Behind the tones stands the ΔE00 that they came to.
    this.#levels = [MIDDLE, ...FINE].map((side) => new Lattice(side, count + 1));
    this.#filled = this.#levels.map((lattice, level) =>
      new Uint8Array(lattice.nodes).fill(level === 0 ? 1 : 0),
    );
    this.#discontinuous = new Uint8Array(this.#levels.at(-1)!.tetrahedra);
    this.#need = this.#filled.map((filled, level) => ({ filled, fill: (node) => this.#fill(level, node) }));
  }

  /** Memory that its lattices hold. */
  get bytes(): number {
    const held = [...this.#levels.map(({ values }) => values), ...this.#filled, this.#discontinuous];
    return held.reduce((sum, { byteLength }) => sum + byteLength, 0);
  }

  /** Solves the lattices that every colour needs. Yields the share done, 0–1; must come to its end before `tones`. */
  *prepare(): Generator<number, void> {
    const coarse = new Lattice(COARSE, this.#tones.length);
    const middle = this.#levels[0]!;
    const { smoothness } = this.#plan;
    this.#fromManyStarts(coarse);
    yield 0.3;
    for (let pass = 0; pass < PASSES.coarse; pass++)
      this.#withNeighbours(coarse, PRIOR_WEIGHT.coarse * smoothness);
    yield 0.4;
    this.#refine(coarse, middle);
    for (let pass = 1; pass <= PASSES.middle; pass++) {
      this.#withNeighbours(middle, PRIOR_WEIGHT.middle * smoothness);
      yield 0.4 + (0.6 * pass) / PASSES.middle;
    }
    this.#rate(middle);
  }

  /** Notes of each node the ΔE00 that is in reach there, with neighbours holding it no more than finer nodes do. */
  #rate(lattice: Lattice): void {
    const search = this.#search;
    for (let node = 0; node < lattice.nodes; node++) {
      this.#lookAt(lattice, node);
      lattice.read(node, this.#tones);
      search.prior.set(this.#tones);
      search.priorWeight = PRIOR_WEIGHT.fine * this.#plan.smoothness;
      search.descend(this.#tones, 8);
      search.priorWeight = 0;
      lattice.values[node * lattice.count + this.#tones.length] = search.difference(this.#tones);
    }
  }

  /** Tones 0–1 of the solved plates, in the plan's order, for an sRGB colour 0–255. */
  tones(r: number, g: number, b: number, out: Float64Array): void {
    const finest = this.#levels.at(-1)!;
    const values = this.#values;
    const tetrahedron = finest.look(r, g, b);
    finest.fillAround(this.#need.at(-1)!);
    if (this.#isDiscontinuous(finest, tetrahedron))
      finest.read(finest.around[heaviest(finest.weights)]!, values);
    else finest.mix(values);
    for (let j = 0; j < out.length; j++) out[j] = values[j]!;
  }

  /** Whether what lies between the nodes around the colour looked at cannot be mixed from them. */
  #isDiscontinuous(lattice: Lattice, tetrahedron: number): boolean {
    const known = this.#discontinuous[tetrahedron]!;
    if (known !== 0) return known === 2;
    const { weights } = lattice;
    // A node by itself says nothing of what lies between.
    if (weights[heaviest(weights)] === 1) return false;
    const wanted = weights.slice();
    weights.fill(0.25);
    lattice.fillAround(this.#need.at(-1)!);
    const discontinuous = spread(lattice) > DISCONTINUITY.apart && this.#missesBetween(lattice);
    weights.set(wanted);
    this.#discontinuous[tetrahedron] = discontinuous ? 2 : 1;
    return discontinuous;
  }

  #missesBetween(lattice: Lattice): boolean {
    const values = this.#values;
    lattice.mix(values);
    const expected = values[this.#tones.length]!;
    const corners = Array.from(lattice.around, (node) => lattice.colourOf(node));
    const middle = (axis: 0 | 1 | 2) => corners.reduce((sum, colour) => sum + colour[axis], 0) / 4;
    this.#tones.set(values.subarray(0, -1));
    return this.difference(middle(0), middle(1), middle(2), this.#tones) > expected + DISCONTINUITY.by;
  }

  /** Best tones for one colour by itself, whatever its neighbours: what interpolation is measured against. */
  best(r: number, g: number, b: number, out: Float64Array): number {
    this.#look(r, g, b);
    this.#search.priorWeight = 0;
    this.#everyStart(this.#tones);
    this.#search.settle(this.#tones);
    out.set(this.#tones);
    return this.#search.difference(out);
  }

  /** ΔE00 of any tones for a colour; of several prints, the root of their mean square. */
  difference(r: number, g: number, b: number, tones: Float64Array): number {
    this.#look(r, g, b);
    return this.#search.difference(tones);
  }

  #look(r: number, g: number, b: number): void {
    const colour = labFromLinear({
      r: linearFromSrgb(r / 255),
      g: linearFromSrgb(g / 255),
      b: linearFromSrgb(b / 255),
    });
    this.#fixedTonesOf(colour, this.#fixed, r, g, b);
    this.#search.prints.set(this.#fixed.tones);
    this.#search.most.set(this.#fixed.most);
    this.#search.heldTo = this.#fixed.heldTo;
    this.#search.prints.target(colour);
  }

  #lookAt(lattice: Lattice, node: number): void {
    this.#look(...lattice.colourOf(node));
  }

  #fromManyStarts(lattice: Lattice): void {
    this.#search.priorWeight = 0;
    for (let node = 0; node < lattice.nodes; node++) {
      this.#lookAt(lattice, node);
      this.#everyStart(this.#tones);
      lattice.write(node, this.#tones);
    }
  }

  /**
   * The best of several descents, from the likeliest of many starts: every plate alone and every two together, with
   * and without the plate that prints first, which is the underbase where there is one.
   */
  #everyStart(best: Float64Array): void {
    const search = this.#search;
    const costs = this.#starts.map((start) => search.cost(start));
    const order = costs.map((_, i) => i).sort((x, y) => costs[x]! - costs[y]! || x - y);
    let least = Number.POSITIVE_INFINITY;
    for (const i of order.slice(0, DESCENTS)) {
      this.#other.set(this.#starts[i]!);
      const cost = search.descend(this.#other);
      if (cost >= least) continue;
      least = cost;
      this.#best.set(this.#other);
    }
    best.set(this.#best);
    search.thin(best, 12);
  }

  /** Every node again, from its own tones and from its neighbours', drawn to the neighbours' mean. */
  #withNeighbours(lattice: Lattice, priorWeight: number): void {
    const { side, count, values } = lattice;
    const steps = [side * side, side, 1];
    for (let node = 0; node < lattice.nodes; node++) {
      this.#lookAt(lattice, node);
      const { prior } = this.#search;
      prior.fill(0);
      let neighbours = 0;
      const list: number[] = [];
      for (const step of steps) {
        const along = Math.floor(node / step) % side;
        // On the cube's faces both neighbours or none: one alone would bend what runs straight to the edge.
        if (along === 0 || along === side - 1) continue;
        for (const beside of [node - step, node + step]) {
          list.push(beside);
          neighbours++;
          for (let j = 0; j < count; j++) prior[j]! += values[beside * count + j]!;
        }
      }
      for (let j = 0; j < count; j++) prior[j]! /= Math.max(1, neighbours);
      this.#search.priorWeight = neighbours === 0 ? 0 : priorWeight;
      lattice.read(node, this.#tones);
      let start = this.#search.cost(this.#tones);
      for (const beside of [...list, -1]) {
        if (beside < 0) this.#other.set(prior);
        else lattice.read(beside, this.#other);
        const cost = this.#search.cost(this.#other);
        if (cost >= start) continue;
        start = cost;
        this.#tones.set(this.#other);
      }
      this.#search.descend(this.#tones, 8);
      lattice.write(node, this.#tones);
    }
    this.#search.priorWeight = 0;
  }

  #refine(from: Lattice, to: Lattice): void {
    for (let node = 0; node < to.nodes; node++) {
      from.interpolate(...to.colourOf(node), this.#tones);
      to.write(node, this.#tones);
    }
  }

  /** A node of a fine lattice: interpolated in the one before, and corrected near to that where it errs. */
  #fill(level: number, node: number): void {
    this.#filled[level]![node] = 1;
    const lattice = this.#levels[level]!;
    const parent = this.#levels[level - 1]!;
    const place = lattice.colourOf(node);
    const values = new Float64Array(lattice.count);
    const tones = values.subarray(0, -1);
    parent.interpolate(...place, values, this.#need[level - 1]);
    const expected = values.at(-1)!;
    this.#look(...place);
    const search = this.#search;
    for (let p = 0; p < tones.length; p++) tones[p] = Math.min(tones[p]!, search.most[p]!);
    let difference = search.difference(tones);
    const errs = difference > expected + GOOD_ENOUGH;
    const many = search.halftones(tones) > MANY;
    if (errs || many || (level === 1 && search.inGap(tones) >= 0)) {
      search.prior.set(tones);
      search.priorWeight = PRIOR_WEIGHT.fine * this.#plan.smoothness;
      if (errs) search.descend(tones, 12);
      if (many) search.thin(tones, 4);
      search.settle(tones, 8);
      search.priorWeight = 0;
      difference = search.difference(tones);
    }
    values[values.length - 1] = difference;
    lattice.write(node, values);
  }
}

function heaviest(weights: Float64Array): number {
  let found = 0;
  for (let v = 1; v < weights.length; v++) if (weights[v]! > weights[found]!) found = v;
  return found;
}

/** How far the nodes around the colour looked at are apart, on the plate on which they are furthest. */
function spread({ around, values, count }: Lattice): number {
  let most = 0;
  for (let c = 0; c < count - 1; c++) {
    let least = 1;
    let greatest = 0;
    for (const node of around) {
      const tone = values[node * count + c]!;
      least = Math.min(least, tone);
      greatest = Math.max(greatest, tone);
    }
    most = Math.max(most, greatest - least);
  }
  return most;
}

function startsOf(plan: SolvePlan): Float64Array[] {
  const { solved } = plan;
  const count = solved.length;
  // A plate that the first print leaves out comes after those that it has.
  const stations = printsOf<SolvePrint>(plan).flatMap((print) => print.stations);
  const place = (j: number) => stations.findIndex(({ plate }) => plate === solved[j]);
  const plates = solved.map((_, j) => j).sort((i, j) => place(i) - place(j));
  const [first = 0, ...others] = plates;
  const starts: Float64Array[] = [];
  for (const base of [0, 1]) {
    const add = (...tones: [plate: number, tone: number][]) => {
      const start = new Float64Array(count);
      start[first] = base;
      for (const [j, tone] of tones) start[j] = tone;
      starts.push(start);
    };
    add();
    if (others.length === 0) starts.push(new Float64Array([0.25 + base / 2]));
    for (const i of others) {
      add([i, 0.4]);
      add([i, 0.85]);
      for (const j of others) if (j > i) add([i, 0.5], [j, 0.5]);
    }
  }
  return starts;
}
