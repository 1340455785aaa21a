import type { ArtworkInfo } from "./info.ts";
import { reason } from "./sound.ts";

/** What the user should know of an artwork file that can be read, in whole sentences; none where all is well. */
export function notesOn(info: ArtworkInfo, faults: readonly string[], profileIgnored: boolean): string[] {
  const notes: string[] = [];
  if (info.spots.length > 0) {
    notes.push(
      `The PDF has the spot colour${info.spots.length === 1 ? "" : "s"} ${info.spots.join(", ")}; drawn as the file says they look, so set the ink to match by name.`,
    );
  }
  if (info.pages > 1 && info.format === "pdf") {
    notes.push(`The PDF has ${info.pages} pages, of which one is used; "page" chooses another.`);
  } else if (info.pages > 1) {
    notes.push(`The file holds ${info.pages} pages or frames; only the first is used.`);
  }
  if (profileIgnored) {
    const instead = info.colourSpace === "cmyk" ? "a general press profile" : "sRGB";
    notes.push(
      `The embedded colour profile is damaged or of the wrong kind, so ${instead} is used; embed it again.`,
    );
  } else if (info.colourSpace === "cmyk" && !info.profile) {
    notes.push(
      "The file is CMYK without a colour profile, so a general press profile is used and colours may be off; " +
        "embed the profile, or convert the artwork to RGB.",
    );
  }
  for (const fault of faults) {
    notes.push(`The file is faulty but could be read (${reason(fault)}); look it over, or export it again.`);
  }
  if (info.hasText) {
    notes.push(
      "The drawing holds text, which is not drawn, since fonts differ between machines; " +
        "convert text to outlines (paths).",
    );
  }
  if (info.outside.length > 0) {
    const first = info.outside.slice(0, 3).join(", ");
    const more = info.outside.length > 3 ? ` and ${info.outside.length - 3} more` : "";
    notes.push(
      `The drawing refers to ${first}${more} outside of itself, which is not drawn; embed it in the drawing.`,
    );
  }
  return notes;
}
