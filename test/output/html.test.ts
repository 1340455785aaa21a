import { createHash } from "node:crypto";
import { expect, it } from "vitest";
import { html, htmlPage, swatch } from "../../server/output/html.ts";

it("a page's policy lets its own style in, by what is between the tags, and no script", () => {
  const page = htmlPage("a <b>", "p { color: red; }\n", html`<p>${"<i>"}</p>`);
  const [, style] = /<style>(.*)<\/style>/s.exec(page)!;
  const [, policy] = /Security-Policy" content="([^"]*)"/.exec(page)!;
  expect(policy).toMatch(/^default-src 'none';/);
  expect(policy).toContain(`style-src 'sha256-${createHash("sha256").update(style!).digest("base64")}'`);
  expect(policy).not.toContain("script-src");
  expect(page).toContain("<title>a &#60;b&#62;</title>");
  expect(page).toContain("<p>&#60;i&#62;</p>");
});

it("a swatch takes a colour and nothing else", () => {
  expect(swatch("#a1b2c3").text).toContain("#a1b2c3");
  for (const other of ["red", "#fff", "#a1b2c3;x:url(//a)", undefined]) expect(swatch(other).text).toBe("");
});
