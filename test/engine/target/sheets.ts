import type { SheetScreen } from "../../../server/engine/target/sheet.ts";

/** A ruling and grains, as tests print them. */
export const SCREENS: readonly SheetScreen[] = [
  { name: "45lpi", screening: { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" } },
  { name: "fm0.12mm", screening: { method: "fm", grainMm: 0.12 } },
];
