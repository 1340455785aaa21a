import { ALLOWANCE_RULES } from "./allowances.ts";
import { backgroundCut } from "./artwork/background.ts";
import { backgroundBox, softEdge } from "./artwork/edges.ts";
import { artworkFile, artworkProfile } from "./artwork/file.ts";
import { filmPixels, plateShift, plateSize, screenedTwice } from "./artwork/plate-files.ts";
import { printSize } from "./artwork/print-size.ts";
import { regionOffPrint } from "./artwork/region-off-print.ts";
import { artworkCoarse, artworkSoft, artworkUnderAim } from "./artwork/resolution.ts";
import { dischargeFabric, dischargeOnBase } from "./inks/discharge.ts";
import { heavyPrint } from "./inks/heavy-print.ts";
import { inkMesh, particleOpening } from "./inks/ink-mesh.ts";
import { barrierChoke, dyeMigration } from "./inks/migration.ts";
import { coolDown, raisedLast, wetWaterBased } from "./inks/order.ts";
import { unknownInOrder } from "./order/names.ts";
import { placeTwice, printTooWide, regionStays, unorderedPrint } from "./order/places.ts";
import { basePeeks, knockoutGap } from "./plates/base-edge.ts";
import { baseRing } from "./plates/base-ring.ts";
import { baseUnderBlack, needlessBase } from "./plates/base-under-dark.ts";
import { closeInks } from "./plates/close-inks.ts";
import { farInk } from "./plates/far-ink.ts";
import { eatenLines, thinHalftone } from "./plates/fine-lines.ts";
import { lostDetails, lostLines } from "./plates/lost-lines.ts";
import { missedColour } from "./plates/missed-colour.ts";
import { nearEmptyPlate } from "./plates/near-empty-plate.ts";
import { twinPlates } from "./plates/twin-plates.ts";
import { unprintedArtwork } from "./plates/unprinted-artwork.ts";
import { untrappedEdge } from "./plates/untrapped-edge.ts";
import { flashHeads } from "./press/flash-heads.ts";
import { jobCost } from "./press/job-cost.ts";
import { darkPlateEarly, darkPlateLate, highlightLast } from "./press/print-order.ts";
import { stations } from "./press/stations.ts";
import { twoMeshes } from "./press/two-meshes.ts";
import {
  flashAfterUnderbase,
  missingUnderbase,
  underbaseFirst,
  underbaseOnLight,
} from "./press/underbase.ts";
import { wetInk } from "./press/wet-ink.ts";
import { wetLayers } from "./press/wet-layers.ts";
import type { AboutRule, Rule } from "./rule.ts";
import { filmRoll } from "./screening/film-roll.ts";
import { filmSteps } from "./screening/film-steps.ts";
import { inkDeposit, underbaseMesh } from "./screening/ink-deposit.ts";
import { loneSquares } from "./screening/lone-squares.ts";
import { meshRuling } from "./screening/mesh-ruling.ts";
import { moire } from "./screening/moire.ts";
import { plateMoire } from "./screening/plate-moire.ts";
import { squareMesh } from "./screening/square-mesh.ts";
import { slightlyUnsteadyColour, unsteadyColour } from "./screening/steadiness.ts";
import { dotsUnderMesh, filledShadows, lostTones } from "./screening/tones.ts";
import { calibrationAge, gainNotMeasured, measuredElsewhere } from "./shop/calibration.ts";
import { meshFigures } from "./shop/mesh-figures.ts";
import { unknownMesh } from "./shop/unknown-mesh.ts";
import { unknownRule } from "./shop/unknown-rule.ts";
import { foldedPlate } from "./structure/folded-plate.ts";
import { artworkOfPlates, filmAsItIs, plateFromFile } from "./structure/given-plate.ts";
import { indexedPlate } from "./structure/indexed-plate.ts";
import { mergeCycle } from "./structure/merge-cycle.ts";
import { nameClash } from "./structure/name-clash.ts";
import { neutralStrength } from "./structure/neutral-strength.ts";
import { printWidth } from "./structure/print-width.ts";
import { processPlate } from "./structure/process-plate.ts";
import { repeatedEntry, repeatedPlate } from "./structure/repeated.ts";
import { risingCurve, risingRange } from "./structure/rising.ts";
import { selfKnockout } from "./structure/self-knockout.ts";
import { solvedPlate, solvedStrength } from "./structure/solved-plate.ts";
import { trapDistance } from "./structure/trap-distance.ts";
import { unknownName } from "./structure/unknown-name.ts";
import { unprintedGarment, unprintedPlate } from "./structure/unprinted.ts";
import { unusedInk } from "./structure/unused-ink.ts";

/** Rules by what they are about, in the order of the rules' reference. A new rule is a new file and one line here. */
export const RULE_GROUPS: Readonly<Record<string, readonly Rule[]>> = {
  "The recipe's structure": [
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
    plateFromFile,
    artworkOfPlates,
    filmAsItIs,
    indexedPlate,
    processPlate,
    unusedInk,
    trapDistance,
    printWidth,
  ],
  Artwork: [
    artworkCoarse,
    artworkSoft,
    artworkUnderAim,
    printSize,
    artworkFile,
    artworkProfile,
    screenedTwice,
    plateSize,
    plateShift,
    filmPixels,
    softEdge,
    backgroundBox,
    regionOffPrint,
    backgroundCut,
  ],
  "Inks and plates": [
    closeInks,
    farInk,
    twinPlates,
    unprintedArtwork,
    missedColour,
    nearEmptyPlate,
    needlessBase,
    baseUnderBlack,
    basePeeks,
    baseRing,
    knockoutGap,
    untrappedEdge,
    eatenLines,
    lostLines,
    lostDetails,
    thinHalftone,
  ],
  "Kinds of ink": [
    inkMesh,
    particleOpening,
    dyeMigration,
    barrierChoke,
    dischargeFabric,
    dischargeOnBase,
    raisedLast,
    wetWaterBased,
    coolDown,
    heavyPrint,
  ],
  Press: [
    stations,
    flashHeads,
    underbaseFirst,
    flashAfterUnderbase,
    missingUnderbase,
    underbaseOnLight,
    highlightLast,
    darkPlateLate,
    darkPlateEarly,
    wetLayers,
    wetInk,
    twoMeshes,
    jobCost,
  ],
  Screening: [
    filmRoll,
    filmSteps,
    meshRuling,
    moire,
    plateMoire,
    squareMesh,
    loneSquares,
    underbaseMesh,
    inkDeposit,
    dotsUnderMesh,
    unsteadyColour,
    slightlyUnsteadyColour,
    lostTones,
    filledShadows,
  ],
  "The order": [unknownInOrder, placeTwice, printTooWide, regionStays, unorderedPrint],
  "The shop file": [
    gainNotMeasured,
    measuredElsewhere,
    calibrationAge,
    meshFigures,
    unknownMesh,
    unknownRule(() => ABOUT_RULES),
  ],
};

export const ALL_RULES: readonly Rule[] = Object.values(RULE_GROUPS).flat();

/** Those that say whether a recipe can be read. */
export const FIXED_RULES: readonly Rule[] = ALL_RULES.filter(({ fixed }) => fixed);

/** All that can be found, allowances included. */
export const ABOUT_RULES: readonly AboutRule[] = [...ALL_RULES, ...Object.values(ALLOWANCE_RULES)];
