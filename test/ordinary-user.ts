/** The user and group "nobody" of most systems. */
const NOBODY = 65_534;

/**
 * False for root where Node hands file work to the kernel's io_uring, which does not see that rights were dropped
 * (CVE-2024-22017, mended in Node 20.11.1).
 */
export const canDropRights =
  process.geteuid?.() !== 0 || !/^20\.(?:[0-9]|10|11\.0)(?:\.|$)/.test(process.versions.node);

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
