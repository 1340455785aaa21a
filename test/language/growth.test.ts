import { expect, it } from "vitest";
import { measuredTexts } from "./measured-texts.ts";

/**
 * What grows faster than its text hangs here: it was minutes where it should be seconds. `npm run faults` doubles texts and
 * compares, which takes a machine that does nothing else.
 */
it.each(["recipe", "readings"] as const)(
  "hostile texts of up to 2 MB, as %s, are answered, with few findings in short words, in a memory of 300 MB",
  (kind) => {
    const measured = Object.entries(measuredTexts(kind, 1_900_000));
    expect(measured.length).toBeGreaterThan(5);
    for (const [name, { findings, longest }] of measured) {
      expect(findings, name).toBeLessThanOrEqual(1001);
      expect(longest, name).toBeLessThan(5000);
    }
  },
  240_000,
);
