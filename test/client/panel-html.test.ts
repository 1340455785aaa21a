import { describe, expect, it } from "vitest";
import { panelHtml } from "../../client/panel-html.ts";

const html = panelHtml(
  {
    script: "https://files/panel.js",
    style: "https://files/panel.css",
    icons: "https://files/codicon.css",
    source: "https://files",
  },
  "n0nce",
);
const policy = new Map(
  /Content-Security-Policy" content="([^"]+)"/
    .exec(html)![1]!
    .split("; ")
    .map((line) => [line.split(" ")[0]!, line.split(" ").slice(1)]),
);

describe("the page's policy", () => {
  it("allows nothing by default, and no network at all", () => {
    expect(policy.get("default-src")).toEqual(["'none'"]);
    for (const kind of ["connect-src", "img-src", "form-action", "base-uri"])
      expect(policy.get(kind)).toEqual(["'none'"]);
    expect(policy.has("frame-src")).toBe(false);
  });

  it("runs no script but the page's own, and workers and compiled loops that the page carries", () => {
    expect(policy.get("script-src")).toEqual(["'nonce-n0nce'", "'wasm-unsafe-eval'"]);
    expect(policy.get("worker-src")).toEqual(["blob:"]);
    expect([...html.matchAll(/<script[^>]*>/g)].map(([tag]) => tag)).toEqual([
      '<script nonce="n0nce" src="https://files/panel.js">',
    ]);
  });

  it("loads styles and fonts of its own files alone", () => {
    expect(policy.get("style-src")).toEqual(["https://files", "'nonce-n0nce'"]);
    expect(policy.get("font-src")).toEqual(["https://files"]);
    expect([...html.matchAll(/<link[^>]*href="([^"]*)"/g)].map(([, file]) => file)).toEqual([
      "https://files/panel.css",
      "https://files/codicon.css",
    ]);
  });

  it("has no place for what is written into the page", () => {
    expect(html).not.toMatch(/'unsafe-/);
    expect(html).not.toMatch(/ style=| on[a-z]+=/);
  });
});
