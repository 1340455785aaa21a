import type { Rule } from "./rule.ts";
import { foldedPlate } from "./structure/folded-plate.ts";
import { mergeCycle } from "./structure/merge-cycle.ts";
import { nameClash } from "./structure/name-clash.ts";
import { neutralStrength } from "./structure/neutral-strength.ts";
import { printWidth } from "./structure/print-width.ts";
import { repeatedEntry, repeatedPlate } from "./structure/repeated.ts";
import { risingCurve, risingRange } from "./structure/rising.ts";
import { selfKnockout } from "./structure/self-knockout.ts";
import { solvedPlate, solvedStrength } from "./structure/solved-plate.ts";
import { trapDistance } from "./structure/trap-distance.ts";
import { unknownName } from "./structure/unknown-name.ts";
import { unprintedGarment, unprintedPlate } from "./structure/unprinted.ts";
import { unusedInk } from "./structure/unused-ink.ts";

/** Every rule there is. A new rule is a new file and one line here. */
export const ALL_RULES: readonly Rule[] = [
  unknownName,
  nameClash,
  mergeCycle,
  foldedPlate,
  unprintedPlate,
  unprintedGarment,
  repeatedEntry,
  repeatedPlate,
  selfKnockout,
  risingCurve,
  risingRange,
  neutralStrength,
  solvedPlate,
  solvedStrength,
  unusedInk,
  trapDistance,
  printWidth,
];
