import type { PixelRule } from "../rule.ts";

/** What the reader of the file had to guess or leave out. */
export const artworkFile: PixelRule = {
  id: "artwork-file",
  looksAt: "pixels",
  level: "warning",
  why: "Pages, texts, files or colours that the reader left out or had to guess will be missing or wrong in the print.",
  source: "What the file itself says.",
  example: {
    fails: "# a drawing whose lettering is text, not outlines\nartwork: { file: art.svg, width: 10 in }",
    passes: "# the same drawing, lettering turned to outlines\nartwork: { file: art.svg, width: 10 in }",
  },
  *check({ artwork }) {
    for (const note of artwork.notes) {
      yield {
        path: ["artwork", "file"],
        message: `${note[0]!.toLowerCase()}${note.slice(1).replace(/\.$/, "")}`,
      };
    }
  },
};

/** Numbers without a profile are colours only by agreement. */
export const artworkProfile: PixelRule = {
  id: "artwork-profile",
  looksAt: "pixels",
  level: "note",
  why: "Colour numbers without a profile may mean other colours than the customer saw.",
  source: "ICC.1: a profile says what a file's numbers mean; sRGB without one is the web's agreement.",
  example: {
    fails: "# a picture saved without its colour profile\nartwork: { file: art.png, width: 10 in }",
    passes: "# the same picture saved with it\nartwork: { file: art.png, width: 10 in }",
  },
  *check({ artwork: { info }, recipe }) {
    // Plates have tones, which are no colours.
    if (recipe.artwork.madeOf !== undefined) return;
    // CMYK without a profile is in the file's notes already; CIELAB needs none.
    if (
      info.vector ||
      info.profile !== undefined ||
      info.colourSpace === "cmyk" ||
      info.colourSpace === "lab"
    )
      return;
    yield {
      path: ["artwork", "file"],
      message:
        "the file has no colour profile and is taken for sRGB, so colours may be off; ask for the file with its profile",
    };
  },
};
