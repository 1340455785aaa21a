import { parseDocument } from "../language/document.ts";
import { plainWords } from "../language/plain-words.ts";
import { type Command, onlyPath } from "./command.ts";

export const words: Command = {
  name: "words",
  usage: "FILE",
  does: "a recipe or shop file as plain lines, one fact a line, free of layout and notation: what git diff compares",
  options: {},
  async run(positionals, _values, console, files) {
    const file = onlyPath(positionals, "recipe");
    const text = await files.readText(file);
    const { value, kind, findings } = parseDocument(file, text);
    // What cannot be read is still to be compared: as it stands.
    const broken = value === undefined || findings.some(({ level }) => level === "error");
    console.out.write(broken ? text : plainWords(kind, value));
    return 0;
  },
};
