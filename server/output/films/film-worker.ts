/** A thread that makes films, one after another. */
import { parentPort } from "node:worker_threads";
import { type FilmData, type FilmOrder, makeFilm } from "./film.ts";

export type WorkerAnswer =
  | { readonly kind: "progress"; readonly done: number }
  | { readonly kind: "made"; readonly film: FilmData }
  | { readonly kind: "failed"; readonly message: string };

const port = parentPort;
port?.on("message", async (order: FilmOrder) => {
  const tell = (answer: WorkerAnswer) => port.postMessage(answer);
  try {
    const film = await makeFilm(order, (done) => tell({ kind: "progress", done }));
    tell({ kind: "made", film });
  } catch (error) {
    tell({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  }
});
