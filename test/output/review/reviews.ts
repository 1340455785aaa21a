import type { PlacedFinding } from "../../../server/output/review/findings.ts";
import type { Figures, Review, Side } from "../../../server/output/review/review.ts";

export const finding = (more: Partial<PlacedFinding> = {}): PlacedFinding => ({
  rule: "a-rule",
  level: "warning",
  file: "job.sep.yaml",
  range: { start: 0, end: 1 },
  path: ["inks", "ember"],
  message: "It is *thin*.",
  line: 7,
  ...more,
});

/** A side whose plates could be made. */
export const side = (name: string): Side => ({
  name,
  findings: [],
  levels: {},
  made: {} as NonNullable<Side["made"]>,
});

/** Figures of a plate that changed, one that came, one that went and one that stayed. */
export const FIGURES: Omit<Figures, "prints"> = {
  screens: { before: 3, after: 4 },
  artworkCm2: undefined,
  artworkWhere: "",
  plates: [
    {
      name: "base",
      before: { coverage: 0.5, inkCm2: 10 },
      after: { coverage: 0.5, inkCm2: 10 },
      up: 0,
      down: 0,
      where: "",
    },
    {
      name: "ember",
      before: { coverage: 0.1, inkCm2: 2 },
      after: { coverage: 0.2, inkCm2: 4 },
      up: 0.1,
      down: 0,
      where: "upper left",
    },
    {
      name: "rose",
      before: undefined,
      after: { coverage: 0.3, inkCm2: 6.04 },
      up: 0.3,
      down: 0,
      where: "on the left",
    },
    {
      name: "gold",
      before: { coverage: 0, inkCm2: 0 },
      after: undefined,
      up: 0,
      down: 0,
      where: "",
    },
  ],
  garments: [
    {
      garment: "black",
      setup: "dark",
      before: { mean: 1, p95: 3, pixels: 9 },
      after: { mean: 1.254, p95: 3, pixels: 9 },
      visibleCm2: 1.25,
      most: 9,
      where: "upper left",
    },
    {
      garment: "white",
      setup: "light",
      before: undefined,
      after: { mean: 2, p95: 4, pixels: 9 },
      visibleCm2: undefined,
      most: 0,
      where: "",
    },
  ],
};

/** Everything that a review can hold. */
export const review = (more: Partial<Review> = {}): Review => ({
  title: "Two halves",
  before: side("old.sep.yaml"),
  after: side("new.sep.yaml"),
  verdict: "changed",
  said: [
    { subject: "ember", plates: ["ember"], text: "tone up 10.0 %", prints: true },
    { subject: "title", plates: [], text: "“A” → “B”", prints: false },
  ],
  figures: FIGURES as Figures,
  findings: { come: [finding()], gone: [finding({ level: "error", path: [] })] },
  lessons: [{ about: "ember", plates: ["ember"], date: "2026-03-14", because: "too dull" }],
  ...more,
});

/** A review that has nothing to tell. */
export const nothing = (more: Partial<Review> = {}): Review =>
  review({ verdict: "same", said: [], findings: { come: [], gone: [] }, lessons: [], ...more });
