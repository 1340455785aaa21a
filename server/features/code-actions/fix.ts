import type { Change } from "../../language/edit.ts";

/** A way to mend a finding. */
export interface Fix {
  readonly title: string;
  readonly changes: readonly Change[];
  /** There is no other way to mean it: may be applied without asking. */
  readonly sure: boolean;
}
