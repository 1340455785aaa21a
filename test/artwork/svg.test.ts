import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { probeArtwork, readArtwork } from "../../server/artwork/artwork.ts";
import { pixel, png, scratch } from "./fixtures.ts";

const { put, folder } = scratch();
const SVG = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"';
const RED = [255, 0, 0, 255];
const NOTHING = [0, 0, 0, 0];

/** A drawing printed 1 in wide at 40 ppi. */
function drawn(svg: string | Uint8Array) {
  return readArtwork(put("a.svg", svg), { widthMm: 25.4, ppi: 40 });
}

describe("size", () => {
  // Each is twice as wide as high and has a red left half.
  it.each([
    ["a view box only", 'viewBox="0 0 40 20"', 20, 20],
    ["px", 'width="40px" height="20px"', 20, 20],
    ["mm and a view box", 'width="400mm" height="200mm" viewBox="0 0 40 20"', 20, 20],
    // CSS Values 4 §6.2: 1 in = 96 px = 25.4 mm = 6 pc = 72 pt
    ["mm without a view box", 'width="25.4mm" height="12.7mm"', 48, 48],
    ["mixed units", 'width="1in" height="3pc"', 48, 48],
    ["per cent and a view box", 'width="100%" height="100%" viewBox="0 0 40 20"', 20, 20],
    ["one side and a view box", 'height="7cm" viewBox="0 0 40 20"', 20, 20],
    ["huge units", 'viewBox="0 0 4000000 2000000"', 2_000_000, 2_000_000],
    ["tiny units", 'viewBox="0,0,0.04,0.02"', 0.02, 0.02],
    ["an offset view box", 'viewBox="-0 -0 40 20" x="3"', 20, 20],
    ["a style that would outweigh it", 'viewBox="0 0 40 20" style="width:7px;height:90%"', 20, 20],
  ])("from %s", async (_, attributes, width, height) => {
    const { picture } = await drawn(
      `<svg ${SVG} ${attributes}><rect width="${width}" height="${height}" fill="red"/></svg>`,
    );
    expect([picture.width, picture.height]).toEqual([40, 20]);
    expect([pixel(picture, 0, 0), pixel(picture, 19, 19)]).toEqual([RED, RED]);
    expect([pixel(picture, 20, 0), pixel(picture, 39, 19)]).toEqual([NOTHING, NOTHING]);
  });

  it("takes millimetres inside the drawing as 96/25.4 units (CSS Values 4 §6.2)", async () => {
    const { picture } = await drawn(
      `<svg ${SVG} viewBox="0 0 96 48"><rect width="12.7mm" height="9" fill="red"/></svg>`,
    );
    expect([pixel(picture, 19), pixel(picture, 20)]).toEqual([RED, NOTHING]);
  });

  it.each([1, 7, 33, 299, 1201, 4501])("is exactly %i pixels wide", async (ppi) => {
    const file = put(
      "a.svg",
      `<svg ${SVG} viewBox="0 0 1000 10"><rect width="1000" height="10" fill="red"/></svg>`,
    );
    const { picture } = await readArtwork(file, { widthMm: 25.4, ppi });
    expect([picture.width, picture.height]).toEqual([ppi, Math.max(1, Math.round(ppi / 100))]);
  });

  it("is 300 ppi where none is asked for", async () => {
    const artwork = await readArtwork(put("a.svg", `<svg ${SVG} viewBox="0 0 4 3"/>`), { widthMm: 25.4 });
    expect([artwork.picture.width, artwork.picture.height, artwork.ppi]).toEqual([300, 225, 300]);
  });

  it.each(['width="100%"', "", 'viewBox="0 0 0 5"', 'width="5" height="0"'])(
    "is missed in <svg %s>",
    async (attributes) => {
      await expect(drawn(`<svg ${SVG} ${attributes}/>`)).rejects.toThrow(
        /a\.svg: the SVG states no size; give it a viewBox/,
      );
    },
  );
});

describe("what lies outside", () => {
  const asked: string[] = [];
  const server = createServer((request, response) => {
    asked.push(request.url ?? "");
    response.end();
  });
  beforeAll(() => new Promise<void>((ready) => void server.listen(0, "127.0.0.1", ready)));
  afterAll(() => new Promise<void>((closed) => void server.close(() => closed())));
  const red = put("red.png", png([Buffer.from(RED)], { width: 1, bits: 8, type: 6 }));
  put("red.svg", `<svg ${SVG} viewBox="0 0 1 1"><rect id="r" width="1" height="1" fill="red"/></svg>`);

  it("draws an embedded picture, so that the checks below can fail", async () => {
    const data = png([Buffer.from(RED)], { width: 1, bits: 8, type: 6 }).toString("base64");
    const href = `data:image/png;base64,${data}`;
    const { picture, notes } = await drawn(
      `<svg ${SVG} viewBox="0 0 1 1"><image href="${href}" width="1" height="1"/></svg>`,
    );
    expect(pixel(picture, 20, 20)).toEqual(RED);
    expect(notes).toEqual([]);
  });

  it.each([
    ["a path", () => red],
    ["a file URL", () => pathToFileURL(red).href],
    ["a relative path", () => "red.png"],
    ["a drawing beside it", () => join(folder, "red.svg#r")],
    ["an address", () => `http://127.0.0.1:${(server.address() as AddressInfo).port}/red.png`],
  ])("draws and fetches nothing from %s, and says so", async (_, target) => {
    for (const element of ["image", "use", "feImage"]) {
      for (const quoted of [`"${target()}"`, `'${target()}'`, `" &#47;..${target()}"`]) {
        const shape = `<${element} xlink:href=${quoted} width="1" height="1"/>`;
        const filter = `<filter id="f">${shape}</filter><rect width="1" height="1" filter="url(#f)"/>`;
        const { picture, notes } = await drawn(
          `<svg ${SVG} viewBox="0 0 1 1">${element === "feImage" ? filter : shape}</svg>`,
        );
        expect(new Set(picture.data)).not.toContain(255);
        expect(notes).toEqual([expect.stringContaining("outside of itself, which is not drawn; embed it")]);
      }
    }
    expect(asked).toEqual([]);
  });

  it("is nothing to any other way of naming it", async () => {
    const own = pathToFileURL(folder).href;
    for (const target of [
      red,
      "red.png",
      `${own}/red.png`,
      `http://127.0.0.1:${(server.address() as AddressInfo).port}/red.png`,
    ]) {
      const svg = target.replace("red.png", "red.svg");
      const within = '<rect width="1" height="1" fill="blue"';
      for (const content of [
        `${within} style="fill:url('${svg}#r')"/>`,
        `${within} mask="url(${svg}#r)" filter="url(${svg}#r)" clip-path="url(${svg}#r)"/>`,
        `<style>@import "${target}"; rect { fill: url(${svg}#r); } @font-face { font-family: x; src: url(${target}); }</style>${within}/><text font-family="x">x</text>`,
        `<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="${svg}" parse="xml"/>`,
        `<g xml:base="${own}/"><image href="#red.png" src="${target}" HREF="${target}" width="1" height="1"/></g>`,
        `<image xmlns:q="http://www.w3.org/1999/xlink"\nq:href\n=\n"${target}" width="1" height="1"/>`,
        `<image href="&#100;ata:x" xlink:href=" ${target}" width="1" height="1"/>`,
        `<image width="1" height="1"><set attributeName="href" to="${target}"/></image>`,
        `<foreignObject width="1" height="1"><img xmlns="http://www.w3.org/1999/xhtml" src="${target}"/></foreignObject>`,
      ]) {
        const { picture } = await drawn(`<svg ${SVG} viewBox="0 0 1 1">${content}</svg>`);
        expect(
          picture.data.filter((v, i) => i % 4 === 0 && v > 0),
          content,
        ).toHaveLength(0);
      }
    }
    expect(asked).toEqual([]);
  });

  it("is not fooled by text that looks like an attribute", async () => {
    const { picture, info } = await drawn(
      `<svg ${SVG} viewBox="0 0 1 1"><desc>href="#</desc><image href="${red}" width="1" height="1"/></svg>`,
    );
    expect(pixel(picture, 20, 20)).toEqual(NOTHING);
    expect(info.outside).toEqual([red]);
  });

  it("follows no style sheet and no entity", async () => {
    const css = put("red.css", "rect { fill: red }");
    const secret = put("secret.txt", '<rect width="1" height="1" fill="red"/>');
    const { picture, info } = await drawn(
      `<?xml-stylesheet href="${css}"?><!DOCTYPE svg [<!ENTITY e SYSTEM "${secret}">]>` +
        `<svg ${SVG} viewBox="0 0 1 1"><style>@import "${css}"; @import url(${css});</style>&e;<rect width="1" height="1" fill="lime"/></svg>`,
    );
    expect(pixel(picture, 20, 20)).toEqual([0, 255, 0, 255]);
    expect(info.outside).toEqual([secret]);
  });

  it("leaves a hyperlink alone, which draws nothing", async () => {
    const { info } = await drawn(
      `<svg ${SVG} viewBox="0 0 1 1"><a href="http://example.org/"><rect/></a></svg>`,
    );
    expect(info.outside).toEqual([]);
  });
});

describe("text", () => {
  it("asks for outlines", async () => {
    const { notes, info } = await drawn(
      `<svg ${SVG} viewBox="0 0 9 9"><g><text x="1" y="5">ink</text></g></svg>`,
    );
    expect(notes).toEqual([expect.stringContaining("convert text to outlines")]);
    expect(info.hasText).toBe(true);
  });

  it("is not seen in comments, character data and other names", async () => {
    const { notes } = await drawn(
      `<svg ${SVG} viewBox="0 0 9 9"><!-- <text> --><style><![CDATA[/* <text> */]]></style><textual/></svg>`,
    );
    expect(notes).toEqual([]);
  });
});

describe("documents", () => {
  const square = '<rect width="1" height="1" fill="red"/>';

  it.each([
    [
      "entities as drawing programs write them",
      `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd" [<!ENTITY ns "http://www.w3.org/2000/svg"><!-- it's --><!ENTITY c 'r&d;'><!ENTITY d "ed">]><svg xmlns="&ns;" viewBox="0 0 1 1"><rect width="1" height="1" fill="&c;"/></svg>`,
    ],
    [
      "an entity that holds markup",
      `<!DOCTYPE svg [<!ENTITY square '${square}'>]><svg ${SVG} viewBox="0 0 1 1">&square;</svg>`,
    ],
    [
      "a root far down",
      `<?xml version="1.0"?><!-- ${"-".repeat(0)}${"x".repeat(5000)} --><svg ${SVG} viewBox="0 0 1 1">${square}</svg>`,
    ],
    ["a byte order mark", `\ufeff<svg ${SVG} viewBox="0 0 1 1">${square}</svg>`],
    ["a > in an attribute", `<svg ${SVG} aria-label="a > b" viewBox='0 0 1 1'>${square}</svg>`],
  ])("with %s", async (_, svg) => {
    expect(pixel((await drawn(svg)).picture, 20, 20)).toEqual(RED);
  });

  it("in UTF-16", async () => {
    const svg = `\ufeff<?xml version="1.0" encoding="UTF-16"?><svg ${SVG} viewBox="0 0 1 1">${square}</svg>`;
    expect(pixel((await drawn(Buffer.from(svg, "utf16le"))).picture, 20, 20)).toEqual(RED);
  });

  it("in Latin-1 by its declaration", async () => {
    const svg = `<?xml version="1.0" encoding="ISO-8859-1"?><svg ${SVG} viewBox="0 0 1 1"><desc>\xe9</desc>${square}</svg>`;
    expect(pixel((await drawn(Buffer.from(svg, "latin1"))).picture, 20, 20)).toEqual(RED);
  });

  it.each([
    [
      "that multiply without end",
      `<!DOCTYPE svg [<!ENTITY a0 "lol">${Array.from({ length: 30 }, (_, i) => `<!ENTITY a${i + 1} "${`&a${i};`.repeat(10)}">`).join("")}]><svg ${SVG} viewBox="0 0 1 1"><desc>&a30;</desc></svg>`,
    ],
    [
      "that hold themselves",
      `<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]><svg ${SVG} viewBox="0 0 1 1">&a;</svg>`,
    ],
    [
      "that are long and used often",
      `<!DOCTYPE svg [<!ENTITY a "${"x".repeat(100_000)}">]><svg ${SVG} viewBox="0 0 1 1">${"&a;".repeat(1000)}</svg>`,
    ],
  ])("are refused with entities %s", async (_, svg) => {
    await expect(drawn(svg)).rejects.toThrow(/entities grow beyond all measure/);
  });

  it.each([
    ["an open tag", `<svg ${SVG} viewBox="0 0 1 1"><rect width="1`],
    ["an open element", `<svg ${SVG} viewBox="0 0 1 1"><g>`],
    [
      "bytes that are not UTF-8",
      Buffer.from(`<svg ${SVG} viewBox="0 0 1 1"><desc>\xe9</desc></svg>`, "latin1"),
    ],
  ])("are refused with %s", async (_, svg) => {
    await expect(drawn(svg)).rejects.toMatchObject({ name: "ArtworkError", fault: "corrupt" });
  });

  const doubled = Array.from(
    { length: 20 },
    (_, i) => `<g id="g${i + 1}">${`<use href="#g${i}"/>`.repeat(2)}</g>`,
  );
  const wide = (side: number) =>
    png(Array(side).fill(Buffer.alloc(Math.ceil(side / 8))), { width: side, bits: 1, type: 0 }).toString(
      "base64",
    );
  const nested = `<svg ${SVG} viewBox="0 0 1 1">${square}</svg>`;
  it.each([
    [
      "more levels than a renderer's stack has",
      "<g>".repeat(501) + "</g>".repeat(501),
      "too-large",
      /501|502 levels/,
    ],
    [
      "100,000 levels",
      "<g>".repeat(100_000) + "</g>".repeat(100_000),
      "too-large",
      /levels deep, the limit is 500/,
    ],
    [
      "copies of copies",
      `<defs><g id="g0">${square}</g>${doubled.join("")}</defs><use href="#g20"/>`,
      "too-large",
      /copies of its shapes, the limit is 100 thousand/,
    ],
    [
      "patterns of patterns",
      `${doubled
        .join("")
        .replaceAll("<use href=", "<rect fill=")
        .replaceAll(/"(#g\d+)"/g, '"url($1)"')}`,
      "too-large",
      /copies of its shapes/,
    ],
    [
      "a picture of 400 Mpx and more",
      `<image href="data:image/png;base64,${wide(20_100)}" width="1" height="1"/>`,
      "too-large",
      /the limit of 400\.0 Mpx/,
    ],
    [
      "pictures of over 100 Mpx in all",
      `<image href="data:;base64,${wide(7_200)}" width="1" height="1"/>`.repeat(2),
      "too-large",
      /pictures in the SVG have 103\.7 Mpx, the limit is 100\.0 Mpx/,
    ],
    [
      "a picture that cannot be read",
      '<image href="data:image/png;base64,AAAA" width="1" height="1"/>',
      "corrupt",
      /damaged or cut short/,
    ],
    [
      "another SVG as a picture",
      `<image href="data:image/svg+xml,${encodeURIComponent(nested)}" width="1" height="1"/>`,
      "format",
      /holds another SVG as a picture/,
    ],
    [
      "another SVG under another name",
      `<feImage xlink:href="data:image/png;base64,${Buffer.from(nested).toString("base64")}"/>`,
      "format",
      /holds another SVG/,
    ],
  ] as const)("are refused with %s", async (_, content, fault, message) => {
    const svg = `<svg ${SVG} viewBox="0 0 1 1">${content}</svg>`;
    await expect(drawn(svg)).rejects.toMatchObject({
      name: "ArtworkError",
      fault,
      message: expect.stringMatching(message),
    });
  });

  it.each([
    [
      "copies as drawing programs make them",
      `<defs><g id="a">${square}</g></defs>${'<use href="#a"/>'.repeat(300)}`,
    ],
    ["a copy of what holds it", `<g id="a">${square}<use href="#b"/></g><use id="b" href="#a"/>`],
    ["400 levels", `${"<g>".repeat(400)}${square}${"</g>".repeat(400)}`],
    ["20,000 shapes without an attribute", `${square}${"<g></g>".repeat(20_000)}`],
  ])("with %s", async (_, content) => {
    expect(pixel((await drawn(`<svg ${SVG} viewBox="0 0 1 1">${content}</svg>`)).picture, 20, 20)).toEqual(
      RED,
    );
  });

  it("are refused where the root is another element", async () => {
    const html = "<html><body><svg viewBox='0 0 1 1'/></body></html>";
    await expect(probeArtwork(put("a.svg", html), { widthMm: 1 })).rejects.toThrow(
      /this is not an SVG drawing/,
    );
  });
});
