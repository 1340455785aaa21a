import { createRequire } from "node:module";
import Ajv from "ajv";
import { describe, expect, it } from "vitest";
import { annotation } from "../../server/cli/annotations.ts";
import { sarif } from "../../server/cli/sarif.ts";
import type { PlacedFinding } from "../../server/language/placed.ts";
import { scratch } from "../output/folders.ts";
import { platewright, put, putJob, RECIPE } from "./program.ts";

const { fresh } = scratch();

/** The schema of SARIF 2.1.0 as OASIS publishes it, from a package that ships it. Of draft 4 it uses `id` alone. */
const {
  id: _,
  $schema: __,
  ...schema
} = createRequire(import.meta.url)("@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json");
const isSarif = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(schema);

const FINDING: PlacedFinding = {
  rule: "close-inks",
  level: "warning",
  file: "a folder/job:1,2 %.sep.yaml",
  range: { start: 10, end: 15 },
  path: ["plates", "ember"],
  message: "line one\nline two, 50 %: ::error::no",
  from: { line: 2, column: 3 },
  to: { line: 2, column: 8 },
};

describe("SARIF", () => {
  it("is valid, and refused where it is not", () => {
    const log = JSON.parse(
      sarif([FINDING, { ...FINDING, rule: "schema", level: "error", path: [], allowed: "why not" }]),
    );
    expect(isSarif(log), JSON.stringify(isSarif.errors)).toBe(true);
    expect(isSarif({ ...log, version: "2.0.0" })).toBe(false);
    const [run] = log.runs;
    expect(run.tool.driver.rules.map(({ id }: { id: string }) => id)).toEqual(["close-inks", "schema"]);
    // A code scanning page shows why, with an example.
    const [{ help }] = run.tool.driver.rules;
    expect(help.text).toContain("Two inks that nobody tells apart");
    expect(help.markdown).toMatch(/^### close-inks\n[\s\S]+```yaml\n/);
    expect(run.results.map(({ ruleIndex }: { ruleIndex: number }) => ruleIndex)).toEqual([0, 1]);
    expect(run.results[0].locations[0]).toEqual({
      physicalLocation: {
        artifactLocation: { uri: "a%20folder/job%3A1%2C2%20%25.sep.yaml" },
        region: { startLine: 2, startColumn: 3, endLine: 2, endColumn: 8 },
      },
      logicalLocations: [{ fullyQualifiedName: "plates.ember" }],
    });
    expect(run.results[1].suppressions).toEqual([{ kind: "inSource", justification: "why not" }]);
  });

  it("comes from check, with its status", async () => {
    const job = await putJob(fresh());
    const { status, out } = await platewright(
      job,
      "check",
      "job.sep.yaml",
      "--no-artwork",
      "--format",
      "sarif",
    );
    const log = JSON.parse(out);
    expect([status, isSarif(log)]).toEqual([1, true]);
    expect(log.runs[0].results.map(({ ruleId }: { ruleId: string }) => ruleId)).toContain(
      "unprinted-garment",
    );
    put(job, "sound.shop.yaml", "shop: 1\n");
    const sound = await platewright(job, "check", "sound.shop.yaml", "--format", "sarif");
    expect([sound.status, isSarif(JSON.parse(sound.out))]).toEqual([0, true]);
  });
});

describe("annotations", () => {
  it("are workflow commands that no text can break out of", () => {
    expect(annotation(FINDING)).toBe(
      "::warning file=a folder/job%3A1%2C2 %25.sep.yaml,line=2,endLine=2,col=3,endColumn=8,title=close-inks::plates.ember: line one%0Aline two, 50 %25: ::error::no\n",
    );
  });

  it("give no columns over several lines, and nothing of what is allowed", () => {
    expect(annotation({ ...FINDING, level: "note", to: { line: 4, column: 1 } })).toMatch(
      /^::notice file=[^,]*,line=2,endLine=4,title=/,
    );
    expect(annotation({ ...FINDING, allowed: "why not" })).toBe("");
  });

  it("come from check", async () => {
    const job = await putJob(fresh());
    const { status, out } = await platewright(
      job,
      "check",
      "job.sep.yaml",
      "--no-artwork",
      "--format",
      "github",
    );
    expect([status, out]).toEqual([
      1,
      expect.stringMatching(
        /^::warning file=job\.sep\.yaml,line=7,endLine=7,col=3,endColumn=8,title=unprinted-garment::/m,
      ),
    ]);
  });
});

describe("check --shard", () => {
  it("spreads all files over the parts, each once, whatever their order", async () => {
    const job = fresh();
    const names = Array.from({ length: 7 }, (_, i) => `${i}.shop.yaml`);
    for (const name of names) put(job, name, "shop: 1\n");
    const parts = await Promise.all(
      [1, 2, 3].map((i) => platewright(job, "check", ".", "--shard", `${i}/3`, "--format", "json")),
    );
    const files = parts.map(({ out }) => JSON.parse(out).files as string[]);
    expect(files.map(({ length }) => length)).toEqual([3, 2, 2]);
    expect(files.flat().sort()).toEqual(names);
    const turned = await platewright(
      job,
      "check",
      ...[...names].reverse(),
      "--shard",
      "1/3",
      "--format",
      "json",
    );
    expect(JSON.parse(turned.out).files).toEqual(files[0]);
  });

  it.each(["0/3", "4/3", "2", "a/b", "1/0"])("refuses %s", async (shard) => {
    const job = await putJob(fresh(), RECIPE);
    const { status, err } = await platewright(job, "check", ".", "--shard", shard);
    expect([status, err]).toEqual([
      2,
      expect.stringContaining(`--shard takes a part of several, such as 2/5, not "${shard}"`),
    ]);
  });
});
