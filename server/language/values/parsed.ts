/** What a scalar's parser gives: the value, or in plain words what is wrong and what to write instead. */
export type Parsed<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: string };

export function parsed<T>(value: T): Parsed<T> {
  return { ok: true, value };
}

export function refused(problem: string): { readonly ok: false; readonly problem: string } {
  return { ok: false, problem };
}

/** The value of text that is known to be sound: anything else is the caller's mistake, and thrown. */
export function read<T>(result: Parsed<T>): T {
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}
