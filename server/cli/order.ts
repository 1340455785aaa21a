import { basename } from "node:path";
import packageInfo from "../../package.json" with { type: "json" };
import { atPreviewSize, type Looked, lookAt, ONE_JOB_BYTES } from "../jobs/look.ts";
import { pictureFiles } from "../jobs/open.ts";
import { orderFilms } from "../jobs/order/films.ts";
import { type OpenOrder, openOrder, recipesOf } from "../jobs/order/open-order.ts";
import { approvalOf, findingsOf, orderPageOf } from "../jobs/order/pages.ts";
import { lastRunTexts } from "../jobs/runs.ts";
import { ticketHtml } from "../jobs/ticket.ts";
import { placed } from "../language/placed.ts";
import { printable } from "../language/printable.ts";
import { counted } from "../language/words.ts";
import { jobFingerprint } from "../output/fingerprint.ts";
import { approvalPages } from "../output/order/approval.ts";
import { countOrder } from "../output/order/counts.ts";
import { sheetPdf } from "../output/sheet/pdf.ts";
import { sheetHtml } from "../output/sheet/svg.ts";
import { Staging } from "../output/staging.ts";
import { StageCache } from "../render/stage-cache.ts";
import { type Command, onlyPath, optionalNumber, requiredText, UsageError } from "./command.ts";
import { FILM_PIXELS } from "./films.ts";
import { findingLine } from "./findings.ts";
import { startProgress } from "./progress.ts";
import { LEAST_PPI, MOST_PPI } from "./written.ts";

export const order: Command = {
  name: "order",
  usage: "FILE.order.yaml --out DIR [--no-films] [--mirror] [--date DATE] [--ppi N] [--force]",
  does: "make a whole order: a ticket a setup, films ganged on the roll, ink and screens counted, and a sheet for the customer to sign",
  options: {
    out: { type: "string" },
    "no-films": { type: "boolean", default: false },
    mirror: { type: "boolean", default: false },
    date: { type: "string" },
    ppi: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, files) {
    const file = onlyPath(positionals, "order");
    const folder = requiredText(values, "out");
    const ppi = optionalNumber(values, "ppi", LEAST_PPI, MOST_PPI);
    const today = new Date().toISOString().slice(0, 10);
    const opened = await openOrder(file, files, today);
    if ("errors" in opened) {
      const [first] = opened.errors;
      if (first && first.project.main.kind !== "order")
        throw new UsageError(`${file} is no order; name an order (*.order.yaml)`);
      for (const { project, findings } of opened.errors)
        for (const finding of placed(findings, project)) console.err.write(findingLine(finding));
      const rules = opened.errors.flatMap(({ findings }) => findings.map(({ rule }) => rule));
      return rules.every((rule) => rule === "missing-file") ? 2 : 1;
    }
    const date = typeof values.date === "string" ? values.date : today;
    const producer = `Platewright ${packageInfo.version}`;
    const jobName = basename(file).replace(/\.order\.ya?ml$|\.ya?ml$/i, "");
    const counts = countOrder(opened.order, recipesOf(opened));
    const names = {
      office: `${jobName}-office.html`,
      approval: `${jobName}-approval.html`,
      approvalPdf: `${jobName}-approval.pdf`,
      films: `${jobName}-films.pdf`,
      ticket: (print: string, setup: string) => `${jobName}-ticket-${print}-${setup}.html`,
    };
    const withFilms = values["no-films"] !== true;
    const tickets = counts.setUps.map((one) => ({ ...one, file: names.ticket(one.print, one.setup) }));
    const written = [
      names.office,
      names.approval,
      names.approvalPdf,
      ...tickets.map((ticket) => ticket.file),
      ...(withFilms ? [names.films] : []),
    ];

    const progress = startProgress(console);
    const staging = await Staging.open(folder, { force: values.force === true });
    try {
      await staging.claim(written);
      // Films first: what they take of the memory serves the pictures again.
      const films = withFilms
        ? await orderFilms(
            opened,
            { jobName, counts, mirror: values.mirror === true, filmPixels: FILM_PIXELS, ppi, date, producer },
            progress.part("films", 0, FILMS_SHARE),
          )
        : undefined;
      const looked = await lookAtAll(opened, progress.part("prints", films ? FILMS_SHARE : 0, 1));
      for (const { print, setup, garments, count, file: name } of tickets) {
        const job = opened.jobs.get(print)!;
        const page = await ticketHtml(looked.get(print)!, {
          setup,
          ordered: { garments, count },
          // A print of another width is another job, of which no run is kept.
          lastRun: opened.order.prints.get(print)!.width === undefined ? await lastRunTexts(job, setup) : [],
          films: films ? [{ plate: "all", file: names.films }] : [],
          made: films?.made.get(print),
          date,
          fingerprint: await jobFingerprint(job.project, pictureFiles(job), files.within),
          producer,
        });
        await staging.write(name, page);
      }
      const made = { opened, looked, counts, films, date, producer };
      await staging.write(names.office, orderPageOf(made));
      const pages = approvalPages(await approvalOf(made));
      const title = opened.order.title || jobName;
      await staging.write(names.approval, sheetHtml(title, pages));
      await staging.write(names.approvalPdf, await sheetPdf(title, producer, pages));
      if (films) await staging.write(names.films, films.pdf);
      await staging.commit();
      progress.end();
      for (const { about, finding } of findingsOf(made))
        console.err.write(`${about}: ${finding.level}: ${finding.message} [${finding.rule}]\n`);
      const screens = counts.screens.reduce((sum, { plates }) => sum + plates.length, 0);
      const said = [
        counted(counts.garments, "garment"),
        counted(counts.impressions, "impression"),
        counted(screens, "screen"),
        counted(counts.setUps.length, "setup"),
        ...(films
          ? [
              `${(films.lengths.reduce((sum, { lengthMm }) => sum + lengthMm, 0) / 1000).toFixed(2)} m of film`,
            ]
          : []),
      ];
      console.out.write(
        `${said.join(", ")}\n${written.map((name) => `  ${printable(`${folder}/${name}`)}\n`).join("")}`,
      );
    } catch (error) {
      progress.end();
      staging.discard();
      throw error;
    }
    return 0;
  },
};

/** Films take about this share of the time. */
const FILMS_SHARE = 0.7;

async function lookAtAll(
  { jobs }: OpenOrder,
  onProgress: (done: number) => void | Promise<void>,
): Promise<Map<string, Looked>> {
  const looked = new Map<string, Looked>();
  for (const [i, [name, job]] of [...jobs].entries()) {
    const print = atPreviewSize(new StageCache(ONE_JOB_BYTES));
    looked.set(name, await lookAt(job, print, (done) => onProgress((i + done) / jobs.size)));
  }
  return looked;
}
