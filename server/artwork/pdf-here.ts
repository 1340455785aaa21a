/** What reads PDFs where there is no process for it, in sources; the built programs leave it out. */
export { openPdf } from "./pdf.ts";
export { openPdfPlates } from "./plates/pdf-plates.ts";
