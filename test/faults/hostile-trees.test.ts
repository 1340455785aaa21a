import { expect, it } from "vitest";
import { hasStrace, hostileTrees } from "./hostile-trees.ts";

it.skipIf(process.platform === "win32")(
  `every command over a stranger's tree${hasStrace ? "" : " (its processes are not seen: needs strace)"}`,
  async () => {
    const { commands, losses } = await hostileTrees(2, 20_260_101);
    expect(losses).toEqual([]);
    expect(commands).toBe(22);
  },
  300_000,
);
