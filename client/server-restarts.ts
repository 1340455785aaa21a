import { window } from "vscode";
import { CloseAction, ErrorAction, type ErrorHandler, type LanguageClient } from "vscode-languageclient/node";

/**
 * The server is started again when it has ended, as the client does by itself: up to four times in three minutes. The
 * client tells where it gives up; this tells of each start, too.
 */
export function reportRestarts(client: () => LanguageClient): ErrorHandler {
  let usual: ErrorHandler | undefined;
  return {
    // Writing to a server that has just ended fails many times at once. Its end is told by `closed`, and by nothing else.
    error: () => ({ action: ErrorAction.Continue, handled: true }),
    async closed() {
      usual ??= client().createDefaultErrorHandler();
      const next = await usual.closed();
      if (next.action === CloseAction.Restart)
        void window.showWarningMessage(
          "The Platewright server stopped and is started again; what was typed stays as it is.",
        );
      return next;
    },
  };
}
