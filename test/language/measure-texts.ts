/** `measure-texts recipe|readings LENGTH`: what each hostile text costs, as JSON. */
import { disk } from "../../server/jobs/disk.ts";
import { openJob, withText } from "../../server/jobs/open.ts";
import { hostileReadings, hostileTexts } from "./hostile-texts.ts";
import type { MeasuredText } from "./measured-texts.ts";

const [kind, length] = process.argv.slice(2);
const RECIPE = "recipe: 1\nscreening: { wedge: { file: w.txt, tone: T } }\n";

async function run(): Promise<void> {
  const texts = kind === "recipe" ? hostileTexts(Number(length)) : hostileReadings(Number(length));
  const found: Record<string, MeasuredText> = {};
  await openJob("a.sep.yaml", withText(disk, "a.sep.yaml", RECIPE));
  for (const [name, make] of Object.entries(texts)) {
    const text = make();
    const files =
      kind === "recipe"
        ? withText(disk, "a.sep.yaml", text)
        : withText(withText(disk, "a.sep.yaml", RECIPE), "w.txt", text);
    const before = process.cpuUsage();
    const { findings } = await openJob("a.sep.yaml", files);
    const { user, system } = process.cpuUsage(before);
    found[name] = {
      cpu: (user + system) / 1e6,
      findings: findings.length,
      longest: Math.max(0, ...findings.map(({ message }) => message.length)),
    };
  }
  process.stdout.write(JSON.stringify(found));
}

void run();
