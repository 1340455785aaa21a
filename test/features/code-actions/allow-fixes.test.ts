import { describe, expect, it } from "vitest";
import { codeActions } from "../../../server/features/code-actions.ts";
import type { Finding } from "../../../server/language/finding.ts";
import { ALL_RULES } from "../../../server/rules/all.ts";
import { type Beside, cursor, edited, read, SOUND, soundBut } from "../model.ts";

/** Title → text after the action, with every rule asked. */
function actions(marked: string, beside: Beside = {}): Record<string, string> {
  const place = read(marked, { rules: ALL_RULES, ...beside });
  const found = codeActions(place.model, cursor(place), { only: ["quickfix"] });
  return Object.fromEntries(found.map(({ title, edit }) => [title, edited(place.model, edit)]));
}

const left = (text: string, beside: Beside = {}) =>
  read(text, { rules: ALL_RULES, ...beside }).model.findings.map(({ rule, allowed }) =>
    allowed === undefined ? rule : `${rule} allowed`,
  );

describe("allowing", () => {
  it("writes the comment and leaves the reason to be written", () => {
    const text = SOUND.replace("  base:", "  |base:");
    const allowed = actions(text)["Allow base-peeks here, with a reason"]!;
    expect(allowed).toBe(SOUND.replace("  base:", "  # allow base-peeks: \n  base:"));
    expect(left(allowed)).toEqual(["unexplained-allowance", "base-peeks"]);
    expect(left(allowed.replace("base-peeks: ", "base-peeks: it is a sticker"))).toEqual([
      "base-peeks allowed",
    ]);
  });

  it("comes after whatever mends a finding, another's too", () => {
    const { model } = read(SOUND.replace("order: [base, flash", "order: [base"), { rules: ALL_RULES });
    const all = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
    const titles = codeActions(model, all, { only: ["quickfix"] }).map(({ title }) => title);
    const mends = titles.filter((title) => !title.startsWith("Allow "));
    expect([mends.length > 1, titles.length > mends.length + 1]).toEqual([true, true]);
    expect(titles.slice(0, mends.length)).toEqual(mends);
  });

  it("is not offered for what keeps the recipe from being read, nor in a shop file", () => {
    expect(Object.keys(actions(soundBut("ink: ember,", "ink: |embr,")))).toEqual(["Write ember"]);
    const shop = "shop: 1\nmeshes:\n  |fine: { count: 225/in, thread: 40 um, opening: 37 um }\n";
    expect(actions(shop, { kind: "shop" })).toEqual({});
  });

  it("keeps a file's line breaks", () => {
    const text = SOUND.replace("  base:", "  |base:").replaceAll("\n", "\r\n");
    expect(actions(text)["Allow base-peeks here, with a reason"]).toContain(
      "  # allow base-peeks: \r\n  base:",
    );
  });
});

/** What the first quick fix of a finding made up by hand is called, and what it leaves. */
function firstFix(marked: string, finding: Pick<Finding, "rule" | "level" | "path" | "data">) {
  const place = read(marked, { rules: [] });
  const { file } = place.model.source;
  const found = {
    message: "made up",
    file,
    range: { start: place.at, end: place.at + 4 },
    ...finding,
  } as Finding;
  const [action] = codeActions({ ...place.model, findings: [found] }, cursor(place), { only: ["quickfix"] });
  return { title: action!.title, text: edited(place.model, action!.edit) };
}

describe("what the trade would do", () => {
  it("adds the trap that an underbase needs, in a new section in its place", () => {
    const fixed = actions(SOUND.replace("  base:", "  |base:"))[
      "Add to traps: { plate: base, choke: 0.2 mm }"
    ]!;
    expect(fixed).toBe(SOUND.replace("setups:", "traps:\n  - { plate: base, choke: 0.2 mm }\nsetups:"));
    expect(left(fixed)).toEqual([]);
  });

  it("adds it to the traps that there are, or fills an empty list", () => {
    const trapped = SOUND.replace("setups:", "traps:\n  - { plate: ember, spread: 0.1 mm }\nsetups:");
    const title = "Add to traps: { plate: base, choke: 0.2 mm }";
    expect(actions(trapped.replace("  base:", "  |base:"))[title]).toBe(
      trapped.replace("setups:", "  - { plate: base, choke: 0.2 mm }\nsetups:"),
    );
    const empty = SOUND.replace("setups:", "traps: []\nsetups:");
    expect(left(actions(empty.replace("  base:", "  |base:"))[title]!)).toEqual([]);
  });

  it("puts a flash where one is missing", () => {
    const text = soundBut("base, flash, ember", "|base, ember").replace(
      "setups:",
      "traps: [{ plate: base, choke: 0.2 mm }]\nsetups:",
    );
    const fixed = actions(text)["Put a flash after base"]!;
    expect(fixed).toContain("order: [base, flash, ember]");
    expect(left(fixed)).toEqual([]);
  });

  it("puts a flash where one is missing from anywhere in that order, before all else", () => {
    for (const at of ["|[base, ember]", "[base, em|ber]"]) {
      const place = read(SOUND.replace("[base, flash, ember]", at), { rules: ALL_RULES });
      const [first] = codeActions(place.model, cursor(place), { only: ["quickfix"] });
      expect(first!.title).toBe("Put a flash after base");
    }
    const titles = Object.keys(actions(SOUND.replace("[base, flash, ember]", "[base, em|ber]")));
    const allowing = titles.filter((title) => title.startsWith("Allow "));
    expect(allowing.length).toBeGreaterThan(0);
    expect(titles.slice(-allowing.length)).toEqual(allowing);
  });

  it("chokes a hole by what it lacks", () => {
    const text = SOUND.replace(
      "setups:",
      "knockouts:\n  - { from: base, where: ember, choke: |0.2 mm }\ntraps:\n  - { plate: base, choke: 0.2 mm }\nsetups:",
    );
    const fixed = actions(text)["Write 0.4 mm"]!;
    expect(fixed).toContain("choke: 0.4 mm }");
    expect(left(fixed)).toEqual([]);
  });

  it("folds a plate into its neighbour: out of every order, into the merges", () => {
    const fix = firstFix(SOUND.replace("  ember: { ink: ember, e", "  |ember: { ink: ember, e"), {
      rule: "near-empty-plate",
      level: "warning",
      path: ["plates", "ember"],
      data: { fold: { plate: "ember", into: "base" } },
    });
    expect(fix).toEqual({
      title: "Fold ember into base",
      text: SOUND.replace("setups:", "merges:\n  - { fold: ember, into: base }\nsetups:").replace(
        ", flash, ember]",
        ", flash]",
      ),
    });
  });

  it("prints a plate through another mesh of the shop", () => {
    const withMesh = (marked: string) =>
      firstFix(marked, {
        rule: "mesh-ruling",
        level: "warning",
        path: ["plates", "ember"],
        data: { mesh: { plate: "ember", mesh: "fine" } },
      });
    const ember = "ember: { ink: ember, extract: { hue: [350, 50] } }";
    const fine = ember.replace(" } }", " }, mesh: fine }");
    const fix = { title: "Print ember through mesh fine", text: SOUND.replace(ember, fine) };
    expect(withMesh(SOUND.replace(ember, `|${ember}`))).toEqual(fix);
    const coarse = fine.replace("fine", "coarse");
    expect(withMesh(SOUND.replace(ember, `|${coarse}`))).toEqual(fix);
  });

  it("adds a plate for a colour that is missed, in the ink that has it", () => {
    const fix = firstFix(SOUND.replace("  dark: {", "  |dark: {"), {
      rule: "missed-colour",
      level: "note",
      path: ["setups", "dark"],
      data: { colour: "#1e8c3c", plate: { ink: "ember", colour: "#1e8c3c" } },
    });
    expect(fix).toEqual({
      title: "Add plate ember-2 for #1e8c3c",
      text: SOUND.replace(
        "[350, 50] } }\n",
        '[350, 50] } }\n  ember-2: { ink: ember, extract: { near: "#1e8c3c", within: 8, fade: 6 } }\n',
      ).replace("flash, ember]", "flash, ember, ember-2]"),
    });
  });
});
