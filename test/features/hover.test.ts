import { describe, expect, it } from "vitest";
import { hover } from "../../server/features/hover.ts";
import { type Beside, read, soundBut, textAt } from "./model.ts";

function shown(marked: string, beside?: Beside): { text: string; over: string | undefined } | undefined {
  const { model, at } = read(marked, beside);
  const found = hover(model, at);
  if (!found) return undefined;
  const { contents, range } = found;
  return { text: (contents as { value: string }).value, over: textAt(model, range) };
}

/** Without pictures, which are a text of their own. */
const words = (marked: string, beside?: Beside) =>
  shown(marked, beside)?.text.replace(/!\[([^\]]*)\]\(data:[^)]*\)/g, "[$1]");

describe("over a name", () => {
  it("an ink shows its colour, its measured place and its opacity", () => {
    expect(words(soundBut("ink: ember", "ink: em|ber"))).toBe(
      "**ink ember**\n\n[colour]\n\nL* 51.1  a* 57.9  b* 53.6 (D50)\n\nopacity (contrast ratio) 70%",
    );
  });

  it("an ink's swatch is in its colour", () => {
    const uri = /\(data:image\/svg\+xml;base64,([^)]*)\)/.exec(
      shown(soundBut("ink: ember", "ink: em|ber"))?.text ?? "",
    )?.[1];
    expect(atob(uri ?? "")).toContain('fill="#d8431f"');
  });

  it("an ink of the shelf says so", () => {
    const shop = "shop: 1\ninks:\n  teal: { colour: lab(50 -30 -10), opacity: 60% }\n";
    expect(words(soundBut("ink: ember", "ink: te|al"), { shop })).toBe(
      "**ink teal**\n\n[colour]\n\nL* 50.0  a* −30.0  b* −10.0 (D50)\n\nopacity (contrast ratio) 60%\n\nfrom the shop's shelf",
    );
  });

  it("a garment shows its colour and its setups", () => {
    expect(words(soundBut("  black:", "  bl|ack:"))).toMatch(
      /^\*\*garment black\*\*\n\n\[colour\]\n\nL\* .*\n\nprinted by dark$/,
    );
  });

  it("a plate tells its ink and its stations", () => {
    expect(words(soundBut("flash, ember", "flash, em|ber"))).toBe(
      "**plate ember**, ink ember\n\nprinted by dark (station 3)",
    );
  });

  it("a plate shows its picture, coverage and tones once they are measured", () => {
    const thumbnail = "data:image/png;base64,AAAA";
    const histogram = [0.5, 0, 0, 0, 0, 0, 0, 0, 0, 0.25];
    const measurements = {
      artworkPpi: undefined,
      plates: new Map([["ember", { coverage: 0.1234, histogram, thumbnail }]]),
    };
    const text = shown(soundBut("flash, ember", "flash, em|ber"), { measurements })?.text ?? "";
    expect(text).toContain(`](${thumbnail})`);
    expect(text).toContain("coverage 12.3 %");
    const bars = atob(/tone scale\]\(data:image\/svg\+xml;base64,([^)]*)\)/.exec(text)?.[1] ?? "");
    const heights = [...bars.matchAll(/height="([\d.]+)" fill/g)].map(([, height]) => height);
    expect(heights).toEqual(["28.3", ...Array(8).fill("0.0"), "20.0"]);
  });

  it("a folded plate has no screen", () => {
    const text = `${soundBut("  ember: { ink", "  em|ber: { ink")}merges:\n  - { fold: ember, into: base }\n`;
    expect(words(text)).toContain("folded into base: no screen of its own");
  });

  it("a plate in no order says so", () => {
    expect(words(soundBut("flash, ember]", "flash]").replace("  ember: { ink", "  em|ber: { ink"))).toContain(
      "in no setup",
    );
  });

  it("a setup lists its stations", () => {
    expect(words(soundBut("  dark:", "  da|rk:"))).toBe(
      "**setup dark**, on black\n\n1. base\n2. flash\n3. ember",
    );
  });

  it("the name is what is shown to be meant", () => {
    expect(shown(soundBut("ink: ember", 'ink: "em|ber"'))?.over).toBe('"ember"');
  });

  it("markup is shown as it is written", () => {
    const text = words(
      soundBut("  ember: { ink", "  '<b>*x*': { ink").replace("flash, ember", "flash, '<b>|*x*'"),
    );
    expect(text).toContain("**plate \\<b\\>\\*x\\***, ink ember");
  });
});

describe("over a part of the format", () => {
  it("a flash tells what it is for", () => {
    const found = shown(soundBut("[base, flash, ember]", "[base, fl|ash, ember]"));
    expect(found).toMatchObject({ text: expect.stringMatching(/^\*\*flash\*\*, a station/), over: "flash" });
  });

  it("a key tells what it is for, with an example", () => {
    const found = shown(soundBut("width", "wi|dth"));
    expect(found?.text).toMatch(
      /^\*\*width\*\*\n\nPrinted width, margins not counted.*\n\nfor example `12 in`$/s,
    );
    expect(found?.over).toBe("width");
  });

  it("a value tells the same, over itself", () => {
    expect(shown(soundBut("2 in", "2| in"))?.over).toBe("2 in");
  });

  it("a choice tells what else there is", () => {
    expect(words(soundBut("underbase", "under|base"))).toMatch(
      /one of `colour`, `underbase`, `highlight`, `shadow`$/,
    );
  });

  it("a curve of strength is drawn, through its pairs", () => {
    const text = shown(
      soundBut("ink: ember, ", "ink: ember, strength: { light|ness: [[0, 100], [50, 40], [100, 0]] }, "),
    )?.text;
    const svg = atob(/100 % up\]\(data:image\/svg\+xml;base64,([^)]*)\)/.exec(text ?? "")?.[1] ?? "");
    // 120 units across for L* 0 to 100, 80 up for 0 to 100 %, from 2 and 82.
    expect(svg).toContain('<circle cx="62.0" cy="50.0"');
    expect(svg).toContain(" 62,50.0 ");
    expect(words(soundBut("hue: ", "lightn|ess: [0, 40], hue: "))).not.toContain("[the curve");
  });

  it.each([
    ["a comment", soundBut("inks:", "# a no|te\ninks:")],
    ["a comment inside of a block", soundBut("  ember: { ink", "  # a no|te\n  ember: { ink")],
    ["a comment behind a value", soundBut("2 in }", "2 in } # a no|te")],
    ["a blank line", soundBut("plates:", "|\nplates:")],
    ["an unknown key", soundBut("width", "wi|dht")],
    ["an empty file", "|"],
  ])("nothing is shown over %s", (_, marked) => {
    expect(shown(marked)).toBeUndefined();
  });
});

describe("over what a shop file has", () => {
  const shop = `shop: 1
meshes:
  fine: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um }
  plain: { count: 90/cm }
`;

  it("a mesh shows its open area and its ink volume, as in a mesh maker's table", () => {
    const text = soundBut("ink: ember, ", "ink: ember, mesh: fi|ne, ");
    expect(words(text, { shop })).toBe(
      "**mesh fine**\n\n225/in threads\n\nopen area 42 %\n\ntheoretical ink volume 25 cm³/m² (an estimate)",
    );
    expect(words(text.replace("fi|ne", "pl|ain"), { shop })).toBe("**mesh plain**\n\n90/cm threads");
  });

  it("a rule shows why it is there", () => {
    expect(words("shop: 1\nrules: { close-|inks: off }\n", { kind: "shop" })).toMatch(
      /^\*\*close\\-inks\*\*, warning by itself\n\nTwo inks that nobody tells apart cost a screen/,
    );
  });
});
