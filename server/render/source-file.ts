import { fileState } from "../files/file-state.ts";

/** A file as it is on disk, or bytes of another state of it under a key of their own. */
export interface SourceFile {
  readonly file: string;
  readonly stored?: { readonly key: string; read(): Promise<Uint8Array> } | undefined;
}

/** What says whether a file is another than it was. */
export async function stateOf({ file, stored }: SourceFile): Promise<string> {
  if (stored) return stored.key;
  // A file that cannot be asked gets its fault told when it is read.
  return `${file} ${(await fileState(file)) ?? `missing ${Date.now()}`}`;
}
