/**
 * Why an artwork file was refused:
 * `missing` no such file; `folder` not a plain file; `unreadable` the system refused; `changed` altered while
 * it was read; `empty` zero bytes; `format` not a kind of picture that is read here; `corrupt` damaged or cut
 * short; `too-large` over a limit of bytes or pixels, as it is or at the ppi asked for.
 */
export type ArtworkFault =
  | "missing"
  | "folder"
  | "unreadable"
  | "changed"
  | "empty"
  | "format"
  | "corrupt"
  | "too-large";

/** An artwork file that cannot be used. `message` is one line: the file, what is wrong, what to do. */
export class ArtworkError extends Error {
  override readonly name = "ArtworkError";
  readonly file: string;
  readonly fault: ArtworkFault;

  constructor(file: string, fault: ArtworkFault, problem: string, options?: { cause?: unknown }) {
    super(`${file}: ${problem}`.replace(/\s+/g, " "), options);
    this.file = file;
    this.fault = fault;
  }
}
