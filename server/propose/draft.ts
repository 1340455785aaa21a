import type * as Formats from "../language/generated/formats.ts";

/** A recipe that is being proposed: what the text will say, and why. */
export interface Draft {
  readonly title: string;
  /** Path from the recipe's folder. */
  readonly shop: string | undefined;
  readonly artwork: Formats.Artwork;
  readonly garments: readonly NamedColour[];
  /** Inks that the shop's ink library does not have. */
  readonly inks: readonly (NamedColour & { readonly opacity: string })[];
  readonly plates: readonly DraftPlate[];
  readonly knockouts: readonly Formats.Knockout[];
  readonly traps: readonly Formats.Trap[];
  readonly screening: Formats.Screening | undefined;
  readonly solve: Formats.Solving | undefined;
  readonly setups: readonly DraftSetup[];
  /** Sentences at the head of the recipe. */
  readonly head: readonly string[];
  readonly allowances: readonly DraftAllowance[];
}

export interface NamedColour {
  readonly name: string;
  readonly colour: string;
  readonly comment?: string | undefined;
}

export interface DraftPlate extends Formats.Plate {
  readonly name: string;
  readonly comment: string;
}

export interface DraftSetup {
  readonly name: string;
  readonly garments: readonly string[];
  readonly order: readonly string[];
  readonly comment: string;
}

/** A finding that the artwork or the shop brings about, and that no separation mends. */
export interface DraftAllowance {
  /** The part that it stands over, such as `artwork` or `plates.base`. */
  readonly part: string;
  readonly rule: string;
  readonly reason: string;
}
