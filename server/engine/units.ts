/** The international inch is exactly 25.4 mm (ISO 31-1). */
export const MM_PER_INCH = 25.4;

/** Units in which a width may be written. */
export type LengthUnit = "in" | "cm" | "mm";
export const MM_PER: Readonly<Record<LengthUnit, number>> = { in: MM_PER_INCH, cm: 10, mm: 1 };
