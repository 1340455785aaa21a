/** The user and group "nobody" of most systems. */
const NOBODY = 65_534;

/** Runs with an ordinary user's rights: for root, whom no permission stops, with those of nobody. */
export async function asOrdinaryUser<T>(run: () => Promise<T>): Promise<T> {
  if (process.geteuid?.() !== 0) return run();
  process.seteuid?.(NOBODY);
  try {
    return await run();
  } finally {
    process.seteuid?.(0);
  }
}
