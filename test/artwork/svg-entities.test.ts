import { describe, expect, it } from "vitest";
import { EntityOverflow, expandEntities } from "../../server/artwork/svg-entities.ts";

const expanded = (text: string, doctype: string, limit = 1000) => expandEntities(text, doctype, limit);

describe("entities", () => {
  it.each<[string, string, string, string]>([
    ["stand where they are named", '<!ENTITY a "one">', "<t>&a;, &a;</t>", "<t>one, one</t>"],
    ["hold others, declared before or after", '<!ENTITY a "&b;!"><!ENTITY b "two">', "&a;", "two!"],
    ["are bound by the first declaration of a name", '<!ENTITY a "1"><!ENTITY a "2">', "&a;", "1"],
    ["are left where nobody declared them", '<!ENTITY a "1">', "&amp;&b;&#65;&a;", "&amp;&b;&#65;1"],
    [
      "may be in either quotes, and hold the other",
      `<!ENTITY a '"x"'><!ENTITY b "'y'">`,
      "&a;&b;",
      "&quot;x&quot;&apos;y&apos;",
    ],
    ["keep the quotes of markup", `<!ENTITY a '<t b="c"/>'>`, "&a;", '<t b="c"/>'],
    ["may bear colons, dots and dashes", '<!ENTITY a:b.c-d_1 "x">', "&a:b.c-d_1;", "x"],
  ])("%s", (_, doctype, text, wanted) => {
    expect(expanded(text, doctype)).toEqual({ text: wanted, outside: [] });
  });

  it.each<[string, string, string, string[]]>([
    ["by address", '<!ENTITY a SYSTEM "file:///etc/passwd">', "[&a;]", ["file:///etc/passwd"]],
    ["by public name", `<!ENTITY a PUBLIC "-//x//y" 'http://192.0.2.1/'>`, "[&a;]", ["http://192.0.2.1/"]],
    [
      "after a declaration that binds, which stays",
      '<!ENTITY a "in"><!ENTITY a SYSTEM "b.txt">',
      "[&a;]",
      ["b.txt"],
    ],
  ])("from outside are empty and listed: %s", (_, doctype, text, outside) => {
    const in_ = doctype.includes('"in"') ? "in" : "";
    expect(expanded(text, doctype)).toEqual({ text: `[${in_}]`, outside });
  });

  it("from outside stay empty, whoever declares the name again", () => {
    expect(expanded("[&a;]", '<!ENTITY a SYSTEM "b.txt"><!ENTITY a "in">').text).toBe("[]");
  });

  it("may grow to the limit and not beyond", () => {
    const doctype = '<!ENTITY a "12345">';
    // The text itself counts as it stands: 2 × 3 signs, and 2 × 5 that come in.
    expect(expanded("&a;&a;", doctype, 16).text).toBe("1234512345");
    expect(() => expanded("&a;&a;", doctype, 15)).toThrow(EntityOverflow);
  });

  it("may be no longer than a million signs each", () => {
    const long = (length: number) => `<!ENTITY a "${"x".repeat(length)}"><!ENTITY b "&a;">`;
    expect(expanded("&b;", long(999_997), 2_000_000).text).toHaveLength(999_997);
    expect(() => expanded("&b;", long(999_998), 2_000_000)).toThrow(EntityOverflow);
  });

  it.each([
    ["itself", '<!ENTITY a "&a;">'],
    ["another that holds it", '<!ENTITY a "&b;"><!ENTITY b "&c;"><!ENTITY c "&a;">'],
  ])("may not hold %s", (_, doctype) => {
    expect(() => expanded("&a;", doctype)).toThrow(EntityOverflow);
    // Nobody who does not name it is harmed.
    expect(expanded("none", doctype).text).toBe("none");
  });

  it("that hold each other twice over, forty levels of nothing, are put together once each", () => {
    const levels = Array.from({ length: 40 }, (_, i) => `<!ENTITY a${i + 1} "&a${i};&a${i};">`);
    expect(expanded("&a40;", `<!ENTITY a0 "">${levels.join("")}`).text).toBe("");
  });

  it("may be held twice side by side", () => {
    expect(expanded("&a;", '<!ENTITY a "&b;&b;"><!ENTITY b "&c;&c;"><!ENTITY c "x">').text).toBe("xxxx");
  });
});
