import { describe, expect, it } from "vitest";
import { reviewJson } from "../../../server/output/review/json.ts";
import { reviewMarkdown } from "../../../server/output/review/markdown.ts";
import { reviewText } from "../../../server/output/review/text.ts";
import { FIGURES, finding, nothing, review, side } from "./reviews.ts";

describe("a review for a terminal", () => {
  it("has all that there is to tell, in columns", () => {
    expect(reviewText(review())).toBe(`Two halves: old.sep.yaml → new.sep.yaml
1 change to the print

  ember: tone up 10.0 %

beside the print
  title: “A” → “B”

lessons of test prints
  ember: 2026-03-14: too dull

plates
  plate  coverage         ink
  ember  10.0 % → 20.0 %  2.0 cm² → 4.0 cm²
  rose   – → 30.0 %       – → 6.0 cm²
  gold   0.0 % → –        0.0 cm² → –

garments, ΔE00 against the artwork
  garment        mean         95 % within  visibly changed
  black (dark)   1.00 → 1.25  3.00         1.3 cm², mostly upper left
  white (light)  – → 2.00     – → 4.00     –

screens 3 → 4

findings that are new
  warning: inks.ember: It is *thin*. [a-rule]

findings that are gone
  error: It is *thin*. [a-rule]
`);
  });

  it("has no figures where nothing changed, or nothing could be compared", () => {
    const bare = "old.sep.yaml → new.sep.yaml\nno change to the print\n";
    expect(reviewText(nothing({ title: "" }))).toBe(bare);
    const unread = review({ figures: undefined, findings: { come: [], gone: [] }, lessons: [], said: [] });
    expect(reviewText(unread)).toBe(`Two halves: ${bare}`);
  });

  it("has no table of plates where none changed", () => {
    const figures = { ...FIGURES, plates: [FIGURES.plates[0]!] };
    expect(reviewText(review({ figures: figures as never }))).not.toContain("plates");
  });

  it("shows signs that control a terminal", () => {
    expect(reviewText(review({ title: "a\u001b[31mb" }))).not.toContain("\u001b");
  });
});

describe("a review as Markdown", () => {
  it("has all that there is to tell, in tables", () => {
    expect(reviewMarkdown(review())).toBe(`### Two halves: 1 change to the print

old.sep.yaml → new.sep.yaml

- ember: tone up 10.0 %

| plate | coverage | ink |
| --- | --- | --- |
| ember | 10.0 % → 20.0 % | 2.0 cm² → 4.0 cm² |
| rose | – → 30.0 % | – → 6.0 cm² |
| gold | 0.0 % → – | 0.0 cm² → – |

| garment | mean ΔE00 | 95 % within | visibly changed |
| --- | --- | --- | --- |
| black (dark) | 1.00 → 1.25 | 3.00 | 1.3 cm², mostly upper left |
| white (light) | – → 2.00 | – → 4.00 | – |

Screens 3 → 4.

**New findings**

- warning: inks.ember: It is \\*thin\\*. \\[a-rule\\]

**Findings that are gone**

- error: It is \\*thin\\*. \\[a-rule\\]

**Lessons of test prints**

- ember: 2026-03-14: too dull

**Beside the print**

- title: “A” → “B”
`);
  });

  it("has no figures where nothing changed, and the file's name without a title", () => {
    const bare = "no change to the print\n\nold.sep.yaml → new.sep.yaml\n";
    expect(reviewMarkdown(nothing())).toBe(`### Two halves: ${bare}`);
    expect(reviewMarkdown(nothing({ title: "" }))).toBe(`### new.sep.yaml: ${bare}`);
    const figures = { ...FIGURES, plates: [FIGURES.plates[0]!] };
    expect(reviewMarkdown(review({ figures: figures as never }))).not.toContain("| plate |");
  });

  it("calls nobody, links nowhere and marks nothing up", () => {
    const of = (title: string) => reviewMarkdown(nothing({ title })).split("\n")[0];
    const shown = (text: string) => `### ${text}: no change to the print`;
    expect(of("@somebody #12")).toBe(shown("@<!-- -->somebody #<!-- -->12"));
    expect(of("https://a.example www.a.example")).toBe(
      shown("https:<!-- -->//a.example www<!-- -->.a.example"),
    );
    expect(of("<b> & `c` _d_ {e} |f| ~g~ !h $i \\j")).toBe(
      shown("&#60;b&#62; &#38; \\`c\\` \\_d\\_ \\{e\\} \\|f\\| \\~g\\~ \\!h \\$i \\\\j"),
    );
    expect(of("12:30")).toBe(shown("12:30"));
    expect(of("---")).toBe(shown("---"));
  });
});

describe("a review for machines", () => {
  it("has all that there is to tell", () => {
    expect(JSON.parse(reviewJson(review()))).toEqual({
      title: "Two halves",
      before: "old.sep.yaml",
      after: "new.sep.yaml",
      verdict: "changed",
      changes: review().said,
      lessons: review().lessons,
      screens: { before: 3, after: 4 },
      artworkChangedCm2: null,
      plates: FIGURES.plates.map((plate, i) => ({
        ...JSON.parse(JSON.stringify(plate)),
        changed: [false, true, true, false][i],
      })),
      garments: JSON.parse(JSON.stringify(FIGURES.garments)),
      findings: {
        new: [
          {
            rule: "a-rule",
            level: "warning",
            path: "inks.ember",
            message: "It is *thin*.",
            file: "job.sep.yaml",
            line: 7,
          },
        ],
        gone: [
          {
            rule: "a-rule",
            level: "error",
            path: "",
            message: "It is *thin*.",
            file: "job.sep.yaml",
            line: 7,
          },
        ],
      },
    });
  });

  it("has the area of artwork that changed, and no figures where nothing was compared", () => {
    const changed = { ...FIGURES, artworkCm2: 1.5 };
    expect(JSON.parse(reviewJson(review({ figures: changed as never }))).artworkChangedCm2).toBe(1.5);
    const bare = JSON.parse(
      reviewJson(
        review({ figures: undefined, before: side("a"), findings: { come: [finding()], gone: [] } }),
      ),
    );
    expect(Object.keys(bare)).toEqual([
      "title",
      "before",
      "after",
      "verdict",
      "changes",
      "lessons",
      "findings",
    ]);
  });

  it("is lines that a reader can look at", () => {
    expect(reviewJson(review())).toMatch(/^\{\n {2}"title": "Two halves",\n[\s\S]*\}\n$/);
  });
});
