import {
  createConnection,
  ProposedFeatures,
  StreamMessageReader,
  StreamMessageWriter,
} from "vscode-languageserver/node";
import { startServer } from "./server.ts";

/** Serves the editor at the other end of stdin and stdout; the connection ends the process. */
export function startStdioServer(measureProgram: string): void {
  const connection = createConnection(
    ProposedFeatures.all,
    new StreamMessageReader(process.stdin),
    new StreamMessageWriter(process.stdout),
  );
  // A fault that nobody foresaw is told and costs its own question, not the texts that the server holds.
  process.on("unhandledRejection", (fault) =>
    connection.console.error(fault instanceof Error ? (fault.stack ?? fault.message) : String(fault)),
  );
  startServer(connection, measureProgram);
}
