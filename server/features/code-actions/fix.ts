import type { Change } from "../../language/edit.ts";

/** A way to mend a finding. */
export interface Fix {
  readonly title: string;
  readonly changes: readonly Change[];
  /** Done by the editor instead: one of its commands. */
  readonly command?: { readonly id: string; readonly arguments: readonly unknown[] };
  /** There is no other way to mean it: may be applied without asking. */
  readonly sure: boolean;
}
