import { formatPath } from "../../language/finding.ts";
import type { PlacedFinding } from "./findings.ts";
import { differs, type Review } from "./review.ts";

/** The review for machines. Shares are 0–1, areas cm². */
export function reviewJson(review: Review): string {
  const { title, before, after, verdict, said, figures, findings, lessons } = review;
  const value = {
    title,
    before: before.name,
    after: after.name,
    verdict,
    changes: said,
    lessons,
    ...(figures
      ? {
          screens: figures.screens,
          artworkChangedCm2: figures.artworkCm2 ?? null,
          plates: figures.plates.map((plate) => ({ ...plate, changed: differs(plate) })),
          garments: figures.garments,
        }
      : {}),
    findings: { new: findings.come.map(findingJson), gone: findings.gone.map(findingJson) },
  };
  return `${JSON.stringify(value, null, 2)}\n`;
}

function findingJson({ rule, level, path, message, line, file }: PlacedFinding): object {
  return { rule, level, path: formatPath(path), message, file, line };
}
