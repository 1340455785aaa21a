import { fileURLToPath } from "node:url";
import { type Command, UsageError } from "./command.ts";

export const lsp: Command = {
  name: "lsp",
  usage: "--stdio",
  does: "the language server, for any editor that speaks the Language Server Protocol",
  options: {
    stdio: { type: "boolean", default: false },
    // Editors pass their process's number; the protocol's initialize says it again.
    clientProcessId: { type: "string" },
  },
  async run(_positionals, { stdio }) {
    if (stdio !== true) throw new UsageError("the language server speaks over stdin and stdout; say --stdio");
    // What anything else prints must not end up among the protocol's messages.
    globalThis.console.log = globalThis.console.error;
    // Loaded here alone: the other commands start without it.
    const { startStdioServer } = await import("../lsp/stdio.ts");
    startStdioServer(fileURLToPath(new URL("measure-process.js", import.meta.url)));
    // The connection ends the process: 0 after shutdown and exit, 1 after exit alone.
    return new Promise(() => {});
  },
};
