import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import type { Project } from "../../server/language/project.ts";
import { parseCgats } from "../../server/language/readings/cgats.ts";
import { jobFingerprint } from "../../server/output/fingerprint.ts";
import { scratch } from "./folders.ts";

const { fresh } = scratch();

interface Job {
  readonly main?: string;
  readonly shop?: string;
  readonly art?: string;
  readonly wedge?: string;
}

const wedgeOf = (row: string) => `CGATS.17
BEGIN_DATA_FORMAT
SAMPLE_ID CMYK_K LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
1 0 92 0 2
2 ${row}
END_DATA
`;

async function printed({ main = "recipe: 1\n", shop, art = "pixels", wedge }: Job = {}): Promise<string> {
  const file = join(fresh(), "art.png");
  if (art !== "") writeFileSync(file, art);
  const project: Project = {
    main: parseDocument("a.sep.yaml", main),
    shop: shop === undefined ? undefined : parseDocument("b.shop.yaml", shop),
    readings: new Map(wedge === undefined ? [] : [["recipe wedge.txt", { table: parseCgats(wedge) }]]),
    findings: [],
  };
  return jobFingerprint(project, [file]);
}

describe("a job's fingerprint", () => {
  it("is the same for the same job, wherever it lies: twelve digits of SHA-256", async () => {
    const [one, two] = [await printed(), await printed()];
    expect(one).toMatch(/^[0-9a-f]{12}$/);
    expect(two).toBe(one);
    const digest = (text: string) => createHash("sha256").update(text);
    const art = digest("pixels").digest("hex");
    const whole = `10\nrecipe: 1\n\n0\n\n64\n${art}\n`;
    expect(one).toBe(digest(whole).digest("hex").slice(0, 12));
  });

  it("counts a picture that is not there as nothing, and readings that cannot be read by their name", async () => {
    const whole = "10\nrecipe: 1\n\n0\n\n0\n\n";
    const digest = (text: string) => createHash("sha256").update(text).digest("hex").slice(0, 12);
    expect(await printed({ art: "" })).toBe(digest(whole));
    const project: Project = {
      main: parseDocument("a.sep.yaml", "recipe: 1\n"),
      shop: undefined,
      readings: new Map([["recipe wedge.txt", { unreadable: "there is no such file" }]]),
      findings: [],
    };
    expect(await jobFingerprint(project, [join(fresh(), "none.png")])).toBe(
      digest(`${whole}16\nrecipe wedge.txt\n`),
    );
  });

  it("is another for any part that decides what is printed", async () => {
    const jobs: Job[] = [
      {},
      { main: "recipe: 1 \n" },
      { shop: "shop: 1\n" },
      { shop: "shop: 1 \n" },
      { art: "pixelt" },
      { art: "" },
      { wedge: wedgeOf("50 54 0 1") },
      { wedge: wedgeOf("50 55 0 1") },
      { wedge: wedgeOf("50 54 0 1").replace("BEGIN_DATA_FORMAT", "ILLUMINANT D65\nBEGIN_DATA_FORMAT") },
      // What goes from one text into the other changes it too.
      { main: "recipe: 1\nshop: 1\n" },
      { main: "recipe: 1\n", shop: "shop: 1\n# pixels" },
    ];
    const all = await Promise.all(jobs.map(printed));
    expect(new Set(all).size).toBe(jobs.length);
  });

  it("of readings counts what they say, not how they are laid out", async () => {
    const wedge = wedgeOf("50 54 0 1");
    expect(await printed({ wedge: wedge.replace("50 54 0 1", "50   54\t0 1  # a note") })).toBe(
      await printed({ wedge }),
    );
  });
});
