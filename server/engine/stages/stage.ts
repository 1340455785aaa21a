import type { LostRuns } from "../lost-parts.ts";
import type { SeparationPlan } from "../plan.ts";
import type { Extent, Tones } from "../raster.ts";
import type { Scratch } from "../scratch.ts";

/** A plate's tones after some stage: what they are made from, and how. A graph of these is walked by every host. */
export type StageNode = SourceNode | MadeNode;

/** Tones that come from the artwork alone: each host extracts them in its own way, all plates at once or one by one. */
export interface SourceNode {
  readonly stage: "extract";
  readonly takes: readonly [];
  /** Number of the plate in the plan. */
  readonly plate: number;
}

/** Tones that a stage makes from others. */
export interface MadeNode {
  /** Name of what is done, for keys. */
  readonly stage: string;
  /** In the order in which `run` gets their tones. */
  readonly takes: readonly StageNode[];
  /** All else that the tones depend on: this stage's own part of the plan, as plain data for a key. */
  readonly part: readonly unknown[];
  /** How far around a pixel it looks, in millimetres. */
  readonly reachMm: number;
  /** Pixels more, whatever their size. */
  readonly reachPixels?: number;
  /** Whether `out` may be the buffer of the first that it takes; else it is another. */
  readonly inPlace: boolean;
  /** Writes width × height tones to `out`; what it takes stays as it is, but for a buffer that `out` shares. */
  run(taken: readonly Tones[], out: Tones, grid: Grid): void;
}

/** Size of the raster, and its resolution on the garment. */
export interface Grid extends Extent {
  readonly pixelsPerMm: number;
  /** Hears what limits take off a plate, where somebody counts it. */
  readonly onLost?: (plate: string, lost: LostRuns) => void;
  /** The host's, where it makes many plates one after the other. */
  readonly scratch?: Scratch;
}

/** Every plate that still stands after a stage, by name, in the plan's order. */
export type Plates = ReadonlyMap<string, StageNode>;

/** Takes all plates as they stood after the stage before, and gives them as they stand after this one. */
export type Stage = (before: Plates, plan: SeparationPlan) => Plates;

/** A stage that looks at one plate at a time, with all others as they stood before at hand. */
export function eachPlate(
  make: (name: string, node: StageNode, before: Plates, plan: SeparationPlan) => StageNode,
): Stage {
  return (before, plan) => new Map([...before].map(([name, node]) => [name, make(name, node, before, plan)]));
}

/**
 * How many pixels around a pixel can tell on it. A brush of a given radius touches pixels up to one more away
 * (trap/disc.ts).
 */
export function reachOf(node: StageNode, pixelsPerMm: number): number {
  if (isSource(node)) return 0;
  const before = Math.max(...node.takes.map((taken) => reachOf(taken, pixelsPerMm)));
  const own = node.reachMm > 0 ? Math.ceil(node.reachMm * pixelsPerMm) + 1 : 0;
  return before + own + (node.reachPixels ?? 0);
}

/** Whether a node's tones come from the artwork alone. */
export function isSource(node: StageNode): node is SourceNode {
  return "plate" in node;
}
