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
