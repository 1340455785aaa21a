import { lessonText } from "../../language/lessons.ts";
import { VISIBLE } from "../../render/comparison.ts";
import { type Html, html, htmlPage } from "../html.ts";
import {
  ABSENT,
  areaText,
  arrow,
  coverageText,
  deltaText,
  findingText,
  platesToTell,
  verdictText,
  visibleText,
} from "./lines.ts";
import { FULL_DELTA, type Pictures, platePictures, proofPictures } from "./pictures.ts";
import type { Figures, Review } from "./review.ts";
import { STYLE } from "./style.ts";

/**
 * The review as one page that holds all it shows: no script, nothing from any network, and a policy that says so.
 * What comes from the recipes is text in it, whatever it looks like.
 */
export async function reviewPage(review: Review): Promise<string> {
  const { title, before, after, verdict, said, figures, findings, lessons } = review;
  const heading = title || after.name;
  const of = (prints: boolean) =>
    said
      .filter((one) => one.prints === prints)
      .map(({ subject, text }) => html`<strong><bdi>${subject}</bdi></strong>: ${text}`);
  const body = html`<header>
<h1><bdi>${heading}</bdi></h1>
<p class="sides"><bdi>${before.name}</bdi> → <bdi>${after.name}</bdi></p>
<p class="verdict ${verdict}">${verdictText(review)}</p>
</header>
<main>
${list("What changes in the print", of(true), "changes")}
${list("New findings", findings.come.map(findingText), "findings")}
${list("Findings that are gone", findings.gone.map(findingText), "findings")}
${figures && tables(review, figures)}
${list(
  "Lessons of test prints",
  lessons.map((lesson) => `${lesson.about}: ${lessonText(lesson)}`),
)}
${list("Beside the print", of(false))}
${figures && (await garments(figures, verdict === "same"))}
${figures && (await plates(review, figures))}
</main>
<footer>${figures && footnote(figures)}</footer>`;
  return htmlPage(`${heading}: ${verdictText(review)}`, STYLE, body);
}

function list(heading: string, lines: readonly (string | Html)[], kind = ""): Html | undefined {
  if (lines.length === 0) return undefined;
  return html`<section>
<h2>${heading}</h2>
<ul class="${kind}">
${lines.map((line) => html`<li><bdi>${line}</bdi></li>\n`)}</ul>
</section>`;
}

function tables(review: Review, figures: Figures): Html {
  const told = platesToTell(review);
  const plateRows = told.map(
    ({ name, before, after }) => html`<tr><th scope="row"><bdi>${name}</bdi></th>
<td>${arrow(coverageText(before?.coverage), coverageText(after?.coverage))}</td>
<td>${arrow(areaText(before?.inkCm2), areaText(after?.inkCm2))}</td></tr>
`,
  );
  const garmentRows = figures.garments.map(
    (
      one,
    ) => html`<tr><th scope="row"><bdi>${one.garment}</bdi> <small>setup <bdi>${one.setup}</bdi></small></th>
<td>${arrow(deltaText(one.before?.mean), deltaText(one.after?.mean))}</td>
<td>${arrow(deltaText(one.before?.p95), deltaText(one.after?.p95))}</td>
<td>${visibleText(one)}</td></tr>
`,
  );
  return html`<section>
<h2>Figures</h2>
<p>Screens: <strong>${arrow(String(figures.screens.before), String(figures.screens.after))}</strong></p>
<div class="wide"><table>
<thead><tr><th scope="col">garment</th><th scope="col">mean ΔE00 to artwork</th><th scope="col">95 % within</th><th scope="col">visibly changed</th></tr></thead>
<tbody>
${garmentRows}</tbody>
</table></div>
${
  told.length > 0
    ? html`<div class="wide"><table>
<thead><tr><th scope="col">plate</th><th scope="col">coverage</th><th scope="col">ink</th></tr></thead>
<tbody>
${plateRows}</tbody>
</table></div>`
    : undefined
}
</section>`;
}

async function garments(figures: Figures, same: boolean): Promise<Html> {
  const { before, after } = figures.prints;
  const shown: Html[] = [];
  for (const one of figures.garments) {
    const pictures = await proofPictures(before, after, one.garment, one.setup);
    const caption = same
      ? ""
      : one.visibleCm2 === undefined
        ? "on one side only"
        : `visibly changed: ${visibleText(one)}`;
    shown.push(
      triple(one.garment, `setup ${one.setup}`, caption, same ? onlyAfter(pictures) : pictures, "proof"),
    );
  }
  return html`<section>
<h2>Garments</h2>
<p class="legend"><span class="moved">colour that moved</span>, full at ΔE00 ${FULL_DELTA}</p>
${shown}</section>`;
}

async function plates(review: Review, { prints: { before, after } }: Figures): Promise<Html | undefined> {
  const shown: Html[] = [];
  for (const plate of platesToTell(review)) {
    const { name } = plate;
    const ink = (after.recipe.plates.get(name) ?? before.recipe.plates.get(name))?.ink ?? "";
    const coverage = `coverage ${arrow(coverageText(plate.before?.coverage), coverageText(plate.after?.coverage))}`;
    shown.push(triple(name, `ink ${ink}`, coverage, await platePictures(before, after, name), "film"));
  }
  if (shown.length === 0) return undefined;
  return html`<section>
<h2>Plates that change</h2>
<p class="legend"><span class="more">more ink</span> <span class="less">less ink</span></p>
${shown}</section>`;
}

function onlyAfter({ after, width, height }: Pictures): Pictures {
  return { before: undefined, after, difference: undefined, width, height };
}

function triple(name: string, what: string, caption: string, pictures: Pictures, kind: string): Html {
  const { width, height } = pictures;
  const one = (
    label: "before" | "after" | "difference",
    uri: string | undefined,
  ) => html`<figure class="${label}">
${
  uri === undefined
    ? html`<p class="absent">${ABSENT}</p>`
    : html`<img src="${uri}" width="${width}" height="${height}" alt="${name}: ${label}">`
}
<figcaption>${label}</figcaption>
</figure>
`;
  const alone = pictures.before === undefined && pictures.difference === undefined;
  return html`<article class="${kind}">
<h3><bdi>${name}</bdi> <small><bdi>${what}</bdi></small></h3>
${caption === "" ? undefined : html`<p class="caption">${caption}</p>\n`}<div class="triple">
${alone ? one("after", pictures.after) : [one("before", pictures.before), one("after", pictures.after), one("difference", pictures.difference)]}</div>
</article>
`;
}

function footnote({ prints: { after } }: Figures): Html {
  const { picture, ppi } = after.artwork;
  return html`<p>Plates and proofs made at ${picture.width} × ${picture.height} pixels, ${Number(ppi.toFixed(1))} ppi on the garment. A change counts as visible from ΔE00 ${VISIBLE} on. Proofs are simulations: a test print decides.</p>`;
}
