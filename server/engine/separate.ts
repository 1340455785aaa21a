import { coveredEdges, mixTones } from "./extract/covered-edges.ts";
import { extractPlates } from "./extract/extract.ts";
import { isGiven, writeGiven } from "./extract/given.ts";
import type { SolvedTones } from "./extract/solved-tones.ts";
import type { LostRuns } from "./lost-parts.ts";
import type { SeparationPlan } from "./plan.ts";
import type { Picture, Tones } from "./raster.ts";
import { type Grid, isSource, type MadeNode, type StageNode } from "./stages/stage.ts";
import { type StageName, stagesOf } from "./stages/stages.ts";
import { Workspace } from "./workspace.ts";

/** A plate's tones under its name. */
export interface PlateTones {
  readonly name: string;
  /** width × height bytes. */
  readonly tones: Tones;
}

/** A plate that has a screen, finished; the receiver owns its tones. */
export interface FinishedPlate extends PlateTones {
  /** As it stood after the stages that were asked for; one array where the stages in between left it as it was. */
  readonly after: ReadonlyMap<StageName, Tones>;
  /** What limits took off it or filled, where its screen has a thinnest line or gap. */
  readonly lost: LostRuns | undefined;
}

/** What is wanted of a separation besides its finished plates, and what it may use. */
export interface SeparateOptions {
  /** Stages after which plates are wanted, besides finished. */
  readonly after?: readonly StageName[];
  /** The plan's solved tones, where they are known. */
  readonly solved?: SolvedTones | undefined;
  readonly workspace?: Workspace;
}

/** Extraction takes about this share of the whole work, and solving, where plates are solved, about this of it. */
const EXTRACTION_SHARE = 0.6;
const SOLVING_SHARE = 0.3;

/**
 * All plates of a separation, each as soon as it is finished; folded plates are left out. Those that need no
 * knockout and no trap come first, else in the plan's order: a host can write them while the others are worked on.
 * Between plates, and many times while extracting, it yields the share done, 0–1: a host may stop there, and
 * nothing needs to be undone. `pixelsPerMm` is the picture's resolution on the garment.
 */
export function* separate(
  picture: Picture,
  pixelsPerMm: number,
  plan: SeparationPlan,
  { after: wanted = [], solved: known, workspace = new Workspace() }: SeparateOptions = {},
): Generator<number | FinishedPlate, void> {
  const pixels = picture.width * picture.height;
  const solved = known ?? (yield* scaled(workspace.solve(plan), SOLVING_SHARE * EXTRACTION_SHARE));
  const before = solved ? SOLVING_SHARE : 0;

  const extracted = plan.plates.map(() => workspace.buffer(pixels));
  const table = workspace.table(plan.plates.length);
  for (const done of extractPlates(picture, plan.plates, extracted, table, solved))
    yield (before + done * (1 - before)) * EXTRACTION_SHARE;

  if (picture.drawn) {
    const edges = coveredEdges(picture);
    // Squares have edges of their own.
    for (const [p, tones] of extracted.entries())
      if (plan.plates[p]!.strength.by !== "index") mixTones(edges, tones);
  }
  for (const [p, plate] of plan.plates.entries())
    if (isGiven(plate)) writeGiven(picture, plate, extracted[p]!);

  const stages = stagesOf(plan);
  const views = [...wanted, "limits"] as const;
  const names = [...stages.limits.keys()];
  const outcome = (name: string) => views.map((view) => stages[view].get(name)!);
  const lost = new Map<string, LostRuns>();
  const onLost = (plate: string, runs: LostRuns) => lost.set(plate, runs);
  const grid = { ...picture, pixelsPerMm, onLost, scratch: workspace.scratch };
  const walk = new Walk(extracted, grid, workspace, names.flatMap(outcome));
  const isLong = (name: string) => stages.trap.get(name) !== stages.merge.get(name);
  let finished = 0;
  for (const name of names.toSorted((a, b) => Number(isLong(a)) - Number(isLong(b)))) {
    const made = walk.hand(outcome(name));
    finished++;
    yield EXTRACTION_SHARE + (1 - EXTRACTION_SHARE) * (finished / names.length);
    const after = new Map(views.map((view, i) => [view, made[i]!]));
    yield { name, tones: made.at(-1)!, after, lost: lost.get(name) };
  }
}

/** The shares done of a piece of the work, as shares of the whole. */
function* scaled<T>(work: Generator<number, T>, share: number): Generator<number, T> {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
    yield step.value * share;
  }
}

/** Makes nodes of the graph, each once, in as few buffers as it can. */
class Walk {
  readonly #grid: Grid;
  readonly #workspace: Workspace;
  readonly #made = new Map<StageNode, Tones>();
  /** How many still want each node's tones. */
  readonly #wanted = new Map<StageNode, number>();
  readonly #extracted: readonly Tones[];

  constructor(extracted: readonly Tones[], grid: Grid, workspace: Workspace, outcome: readonly StageNode[]) {
    this.#extracted = extracted;
    this.#grid = grid;
    this.#workspace = workspace;
    for (const node of outcome) this.#want(node);
  }

  /** Tones of some nodes, for somebody who owns them then. */
  hand(nodes: readonly StageNode[]): Tones[] {
    const made = new Map([...new Set(nodes)].map((node) => [node, this.#tones(node)]));
    for (const node of nodes) this.#let(node);
    // What other plates still take is theirs.
    for (const [node, tones] of made) {
      if (!this.#made.has(node)) continue;
      const own = this.#workspace.buffer(tones.length);
      own.set(tones);
      made.set(node, own);
    }
    return nodes.map((node) => made.get(node)!);
  }

  #want(node: StageNode): void {
    const already = this.#wanted.get(node) ?? 0;
    this.#wanted.set(node, already + 1);
    if (already === 0) for (const taken of node.takes) this.#want(taken);
  }

  #let(node: StageNode): void {
    const left = this.#wanted.get(node)! - 1;
    this.#wanted.set(node, left);
    if (left === 0) this.#made.delete(node);
  }

  #tones(node: StageNode): Tones {
    const known = this.#made.get(node);
    if (known) return known;
    const made = isSource(node) ? this.#extracted[node.plate]! : this.#run(node);
    this.#made.set(node, made);
    return made;
  }

  #run(node: MadeNode): Tones {
    const taken = node.takes.map((from) => this.#tones(from));
    for (const from of node.takes) this.#let(from);
    const [first] = taken;
    const free = node.inPlace && !this.#made.has(node.takes[0]!);
    const out = free ? first! : this.#workspace.buffer(first!.length);
    node.run(taken, out, this.#grid);
    return out;
  }
}
