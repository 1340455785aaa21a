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
  startServer(connection, measureProgram);
}
