import { basename, dirname } from "node:path";
import { kindOf } from "../language/document.ts";
import { reviewJson } from "../output/review/json.ts";
import { reviewMarkdown } from "../output/review/markdown.ts";
import { reviewPage } from "../output/review/page.ts";
import { makeReview, type Review, type Verdict } from "../output/review/review.ts";
import { reviewText } from "../output/review/text.ts";
import { Staging } from "../output/staging.ts";
import { StageCache } from "../render/stage-cache.ts";
import { type Command, type ExitStatus, oneOf, UsageError } from "./command.ts";
import { reviewOrders } from "./order-review.ts";
import { startProgress } from "./progress.ts";
import { openSide } from "./sides.ts";

/** Both sides' stages at preview size; what they have in common is made once. */
const CACHE_BYTES = 400_000_000;

const FORMATS: Readonly<Record<string, (review: Review) => string>> = {
  text: reviewText,
  json: reviewJson,
  markdown: reviewMarkdown,
};

/** As `check` and `diff` have it: 1 asks for a mending, 3 for a second look. */
const STATUS: Readonly<Record<Verdict, ExitStatus>> = { same: 0, worse: 1, changed: 3 };

export const review: Command = {
  name: "review",
  usage: "OLD NEW [--format text|json|markdown] [--html FILE] [--force]",
  does: "what changed from one recipe, or order, to another, each a file or REV:PATH of git, in words, numbers and pictures; exit status 0 no change to the print, 3 changed, 1 with new errors",
  options: {
    format: { type: "string", default: "text" },
    html: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(paths, { format, html, force }, console, files) {
    const [before, after, extra] = paths;
    if (before === undefined || after === undefined)
      throw new UsageError("two recipes are compared: OLD and NEW");
    if (extra !== undefined) throw new UsageError(`two recipes at a time; "${extra}" is one too many`);
    const write = FORMATS[String(format)];
    if (!write) throw new UsageError(`--format takes ${oneOf(Object.keys(FORMATS))}, not "${format}"`);

    if ([before, after].some((name) => kindOf(name) === "order")) {
      if (html !== undefined) throw new UsageError("orders are compared in words; leave --html out");
      return reviewOrders([before, after], String(format), console, files);
    }
    const page = typeof html === "string" && html !== "" ? html : undefined;
    const staging =
      page === undefined ? undefined : await Staging.open(dirname(page), { force: force === true });
    const progress = startProgress(console);
    try {
      await staging?.claim([basename(page!)]);
      const cache = new StageCache(CACHE_BYTES);
      await progress.part(before, 0, 0.4)(0);
      const old = await openSide(before, cache, files);
      await progress.part(after, 0.4, 0.8)(0);
      const made = makeReview(old, await openSide(after, cache, files));
      await progress.part("page", 0.8, 1)(0);
      await staging?.write(basename(page!), await reviewPage(made));
      await staging?.commit();
      progress.end();
      console.out.write(write(made));
      return STATUS[made.verdict];
    } catch (error) {
      progress.end();
      staging?.discard();
      throw error;
    }
  },
};
