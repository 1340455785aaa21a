import { describe, expect, it } from "vitest";
import { scratch } from "../output/folders.ts";
import { artPng, platewright, put, putJob, RECIPE } from "./program.ts";

const { fresh } = scratch();
const JOB = RECIPE.replace("merges:", "traps:\n  - { plate: base, choke: 0.2 mm }\nmerges:")
  .replace(/ {2}spare.*\n/, "")
  .replace(/ {2}quick.*\n/, "");

describe("check, of what the pixels say", () => {
  it("makes the plates at preview size, and tells what they show", async () => {
    const job = await putJob(fresh(), JOB);
    const { status, out } = await platewright(job, "check", "job.sep.yaml");
    expect(status).toBe(1);
    // 40 pixels on an inch.
    expect(out).toBe(
      "job.sep.yaml:3:34: warning: artwork.width: The artwork has 40 ppi at this width, under 150: edges will be stepped and small type soft; ask for a larger picture, or print it 0.27 in wide or less [artwork-coarse]\n1 file, 1 warning\n",
    );
  });

  it("does not look at the artwork where it is told so", async () => {
    const job = await putJob(fresh(), JOB);
    put(job, "art.png", "no picture");
    expect((await platewright(job, "check", "--no-artwork", "job.sep.yaml")).status).toBe(0);
  });

  it("finds artwork that cannot be read, and goes on with the other files", async () => {
    const job = await putJob(fresh(), JOB);
    put(job, "broken.png", "no picture");
    put(job, "broken.sep.yaml", JOB.replace("art.png", "broken.png"));
    const { status, out } = await platewright(job, "check", ".");
    expect(status).toBe(1);
    expect(out).toMatch(
      /^broken\.sep\.yaml:3:18: error: artwork\.file: .*broken\.png: .* \[unreadable-artwork\]$/m,
    );
    expect(out).toMatch(/^job\.sep\.yaml:3:34: warning: .*\[artwork-coarse\]$/m);
  });

  it("sees at full size what a preview is too coarse for", async () => {
    // 2000 × 1000 pixels on 10 in: 0.127 mm each; every line of the picture is two pixels wide.
    const folder = fresh();
    const sharp = (await import("sharp")).default;
    const pixels = Buffer.alloc(2000 * 1000 * 4);
    for (let y = 20; y < 980; y++)
      for (let x = 20; x < 1980; x++)
        if (x < 1000 || x % 8 < 2) pixels.set([216, 67, 31, 255], (y * 2000 + x) * 4);
    put(
      folder,
      "art.png",
      await sharp(pixels, { raw: { width: 2000, height: 1000, channels: 4 } })
        .png()
        .toBuffer(),
    );
    put(
      folder,
      "job.sep.yaml",
      JOB.replace("width: 1 in", "width: 10 in").replace("choke: 0.2 mm", "choke: 0.15 mm"),
    );
    const preview = await platewright(folder, "check", "job.sep.yaml");
    const full = await platewright(folder, "check", "--full", "job.sep.yaml");
    expect(preview.out).not.toContain("eaten-lines");
    expect(full.out).toMatch(
      /traps\[0\]\.choke: This choke takes lines thinner than 0\.3 mm off base .* \[eaten-lines\]/,
    );
  });

  it("shows what is allowed, with the reason, and counts it no more", async () => {
    const job = await putJob(
      fresh(),
      JOB.replace("artwork:", "# allow artwork-coarse: a sketch, not for print\nartwork:"),
    );
    const text = await platewright(job, "check", "job.sep.yaml");
    expect(text.status).toBe(0);
    expect(text.out).toMatch(
      /: allowed warning: artwork\.width: .* \(allowed: a sketch, not for print\) \[artwork-coarse\]\n1 file, 1 allowed\n$/,
    );
    const json = await platewright(job, "check", "job.sep.yaml", "--format", "json");
    expect(json.status).toBe(0);
    expect(JSON.parse(json.out).findings).toMatchObject([
      { rule: "artwork-coarse", allowed: "a sketch, not for print" },
    ]);
  });

  it("cannot look fully and not at all", async () => {
    const job = await putJob(fresh(), JOB);
    put(job, "art.png", await artPng());
    expect(await platewright(job, "check", "--full", "--no-artwork", "job.sep.yaml")).toMatchObject({
      status: 2,
      err: expect.stringContaining("say the opposite"),
    });
  });
});
