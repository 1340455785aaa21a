import { createHash } from "node:crypto";
import { expect, it } from "vitest";
import { escaped, html, htmlPage, swatch } from "../../server/output/html.ts";

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

it("text is escaped, and markup of its own kept", () => {
  expect(escaped(`<a b="c" d='e'>&`)).toBe("&#60;a b=&#34;c&#34; d=&#39;e&#39;&#62;&#38;");
  expect(html`<p>${"<"}${html`<b>${1}</b>`}${undefined}</p>`.text).toBe("<p>&#60;<b>1</b></p>");
});

it("lists are joined, a line's end and a tab are blanks, and other signs that cannot be seen are shown", () => {
  expect(html`${["<", [html`<i>`, 2], undefined]}`.text).toBe("&#60;<i>2");
  expect(escaped("a\nb\tc`")).toBe("a b c&#96;");
  const shown = escaped("a\u202eb\u0007");
  for (const sign of ["\u202e", "\u0007"]) expect(shown).not.toContain(sign);
});
