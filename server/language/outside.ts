/** What to do about a file beyond the boundary, where there are no buttons for it. */
export const OUTSIDE_ADVICE =
  ": add its folder to the workspace or switch on platewright.readOutside; on a command line, name it with --within";

/** Why a file beyond the boundary (`files/boundary.ts`) is not read, and what to do. */
export const OUTSIDE = `it lies outside of what may be read${OUTSIDE_ADVICE}`;
