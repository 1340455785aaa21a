import { LESS, MORE, MOVED } from "./pictures.ts";

const rgb = (colour: readonly [number, number, number]) => `rgb(${colour.join(" ")})`;

/** The page's style: quiet grey around the pictures, so that it does not colour what is judged; two columns or three. */
export const STYLE = `
:root { color-scheme: light; --ink: #1f2023; --faint: #5d6067; --line: #d3d4d8; --paper: #f4f4f5; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 76rem; padding: 2rem clamp(1rem, 4vw, 3rem) 3rem; background: var(--paper);
  color: var(--ink); font: 1rem/1.5 system-ui, sans-serif; }
h1, h2, h3, p, ul, figure { margin: 0; }
h1 { font-size: 1.75rem; line-height: 1.2; overflow-wrap: anywhere; }
h2 { font-size: 1.15rem; margin-bottom: .6rem; }
h3 { font-size: 1rem; }
small { color: var(--faint); font-weight: 400; font-size: .875em; }
header { padding-bottom: 1.5rem; border-bottom: 1px solid var(--line); }
.sides { color: var(--faint); margin: .35rem 0 1rem; overflow-wrap: anywhere; }
.verdict { display: inline-block; padding: .25rem .8rem; border-radius: .25rem; border: 1px solid; font-weight: 600; background: #fff; }
.verdict.same { color: #2c6339; }
.verdict.changed { color: #7a5000; }
.verdict.worse { color: #a1241d; }
section { margin-top: 2rem; }
ul { padding: 0; list-style: none; }
li { padding: .4rem 0; border-top: 1px solid var(--line); overflow-wrap: anywhere; }
li:last-child { border-bottom: 1px solid var(--line); }
.changes li { font-size: 1.05rem; }
.findings li { color: #6e2b14; }
.wide { overflow-x: auto; margin-top: .8rem; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; padding: .4rem 1.2rem .4rem 0; border-bottom: 1px solid var(--line); vertical-align: top; }
thead th { color: var(--faint); font-weight: 400; font-size: .875rem; }
tbody th { font-weight: 600; }
article { margin-top: 1.5rem; break-inside: avoid; }
.caption, .legend { color: var(--faint); font-size: .9rem; }
.triple { display: grid; grid-template-columns: repeat(3, minmax(0, 1fr)); gap: 1rem; margin-top: .6rem; }
img { display: block; width: 100%; height: auto; border: 1px solid var(--line); background: #fff; }
figcaption { color: var(--faint); font-size: .85rem; padding-top: .25rem; }
.absent { display: grid; place-items: center; min-height: 8rem; height: calc(100% - 1.6rem); border: 1px dashed var(--line); color: var(--faint); }
.legend span::before { content: ""; display: inline-block; width: .8em; height: .8em; margin-right: .4em; vertical-align: -.05em; background: currentColor; }
.legend span { margin-right: 1rem; }
.legend .moved { color: ${rgb(MOVED)}; margin-right: 0; }
.legend .more { color: ${rgb(MORE)}; }
.legend .less { color: ${rgb(LESS)}; }
footer { margin-top: 2.5rem; color: var(--faint); font-size: .85rem; }
@media (max-width: 44rem) {
  .triple { grid-template-columns: repeat(2, minmax(0, 1fr)); gap: .6rem; }
  .triple .difference { grid-column: 1 / -1; }
}
@media print {
  @page { margin: 14mm; }
  body { background: #fff; max-width: none; padding: 0; font-size: 10pt; }
  .triple { grid-template-columns: repeat(3, minmax(0, 1fr)); gap: 4mm; }
  .triple .difference { grid-column: auto; }
  img, .legend span::before { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  h2, h3, .caption, .legend { break-after: avoid; }
}
`;
