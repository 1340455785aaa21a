import { describe, expect, it } from "vitest";
import { codeActions } from "../../server/features/code-actions.ts";
import { ALL_RULES } from "../../server/rules/all.ts";
import { type Beside, cursor, edited, read, SOUND, soundBut } from "./model.ts";

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
    const allowed = actions(text)["allow base-peeks here, with a reason"]!;
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
    const mends = titles.filter((title) => !title.startsWith("allow "));
    expect([mends.length > 1, titles.length > mends.length + 1]).toEqual([true, true]);
    expect(titles.slice(0, mends.length)).toEqual(mends);
  });

  it("is not offered for what keeps the recipe from being read, nor in a shop file", () => {
    expect(Object.keys(actions(soundBut("ink: ember,", "ink: |embr,")))).toEqual(["write ember"]);
    const shop = "shop: 1\nmeshes:\n  |fine: { count: 225/in, thread: 40 um, opening: 37 um }\n";
    expect(actions(shop, { kind: "shop" })).toEqual({});
  });

  it("keeps a file's line breaks", () => {
    const text = SOUND.replace("  base:", "  |base:").replaceAll("\n", "\r\n");
    expect(actions(text)["allow base-peeks here, with a reason"]).toContain(
      "  # allow base-peeks: \r\n  base:",
    );
  });
});

describe("what the trade would do", () => {
  it("adds the trap that an underbase needs, in a new section in its place", () => {
    const fixed = actions(SOUND.replace("  base:", "  |base:"))[
      "add to traps: { plate: base, choke: 0.2 mm }"
    ]!;
    expect(fixed).toBe(SOUND.replace("setups:", "traps:\n  - { plate: base, choke: 0.2 mm }\nsetups:"));
    expect(left(fixed)).toEqual([]);
  });

  it("adds it to the traps that there are, or fills an empty list", () => {
    const trapped = SOUND.replace("setups:", "traps:\n  - { plate: ember, spread: 0.1 mm }\nsetups:");
    const title = "add to traps: { plate: base, choke: 0.2 mm }";
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
    const fixed = actions(text)["put a flash here"]!;
    expect(fixed).toContain("order: [base, flash, ember]");
    expect(left(fixed)).toEqual([]);
  });

  it("chokes a hole by what it lacks", () => {
    const text = SOUND.replace(
      "setups:",
      "knockouts:\n  - { from: base, where: ember, choke: |0.2 mm }\ntraps:\n  - { plate: base, choke: 0.2 mm }\nsetups:",
    );
    const fixed = actions(text)["write 0.4 mm"]!;
    expect(fixed).toContain("choke: 0.4 mm }");
    expect(left(fixed)).toEqual([]);
  });

  it("folds a plate into its neighbour: out of every order, into the merges", () => {
    const place = read(SOUND.replace("  ember: { ink: ember, e", "  |ember: { ink: ember, e"), { rules: [] });
    const finding = {
      rule: "near-empty-plate",
      level: "warning",
      file: place.model.source.file,
      range: { start: place.at, end: place.at + 5 },
      path: ["plates", "ember"],
      message: "little",
      data: { fold: { plate: "ember", into: "base" } },
    } as const;
    const [action] = codeActions({ ...place.model, findings: [finding] }, cursor(place), {
      only: ["quickfix"],
    });
    expect(action!.title).toBe("fold ember into base");
    expect(edited(place.model, action!.edit)).toBe(
      SOUND.replace("setups:", "merges:\n  - { fold: ember, into: base }\nsetups:").replace(
        ", flash, ember]",
        ", flash]",
      ),
    );
  });

  it("prints a plate through another mesh of the shop", () => {
    const withMesh = (text: string) => {
      const place = read(text, { rules: [] });
      const finding = {
        rule: "mesh-ruling",
        level: "warning",
        file: place.model.source.file,
        range: { start: place.at, end: place.at + 5 },
        path: ["plates", "ember"],
        message: "coarse",
        data: { mesh: { plate: "ember", mesh: "fine" } },
      } as const;
      const [action] = codeActions({ ...place.model, findings: [finding] }, cursor(place), {
        only: ["quickfix"],
      });
      expect(action!.title).toBe("print ember through mesh fine");
      return edited(place.model, action!.edit);
    };
    const ember = "ember: { ink: ember, extract: { hue: [350, 50] } }";
    const fine = ember.replace(" } }", " }, mesh: fine }");
    expect(withMesh(SOUND.replace(ember, `|${ember}`))).toBe(SOUND.replace(ember, fine));
    const coarse = fine.replace("fine", "coarse");
    expect(withMesh(SOUND.replace(ember, `|${coarse}`))).toBe(SOUND.replace(ember, fine));
  });

  it("adds a plate for a colour that is missed, in the ink that has it", () => {
    const place = read(SOUND.replace("  dark: {", "  |dark: {"), { rules: [] });
    const finding = {
      rule: "missed-colour",
      level: "note",
      file: place.model.source.file,
      range: { start: place.at, end: place.at + 4 },
      path: ["setups", "dark"],
      message: "missed",
      data: { colour: "#1e8c3c", plate: { ink: "ember", colour: "#1e8c3c" } },
    } as const;
    const [action] = codeActions({ ...place.model, findings: [finding] }, cursor(place), {
      only: ["quickfix"],
    });
    expect(action!.title).toBe("add plate ember-2 for #1e8c3c");
    expect(edited(place.model, action!.edit)).toBe(
      SOUND.replace(
        "[350, 50] } }\n",
        '[350, 50] } }\n  ember-2: { ink: ember, extract: { near: "#1e8c3c", within: 8, fade: 6 } }\n',
      ).replace("flash, ember]", "flash, ember, ember-2]"),
    );
  });
});
