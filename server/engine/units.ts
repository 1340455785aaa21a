/** The international inch is exactly 25.4 mm (ISO 31-1). */
export const MM_PER_INCH = 25.4;
