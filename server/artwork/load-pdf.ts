import { createRequire } from "node:module";
import type { PDFiumLibrary } from "@hyzyla/pdfium";

/** What is called of PDFium, compiled to WebAssembly. Numbers are addresses in its memory, or counts. */
export interface PdfLibrary {
  readonly HEAPU8: Uint8Array;
  readonly wasmExports: { malloc(bytes: number): number; free(at: number): void };
  _FPDF_LoadMemDocument(at: number, bytes: number, password: number): number;
  _FPDF_CloseDocument(document: number): void;
  _FPDF_GetLastError(): number;
  _FPDF_GetPageCount(document: number): number;
  _FPDF_LoadPage(document: number, index: number): number;
  _FPDF_ClosePage(page: number): void;
  _FPDF_GetPageWidth(page: number): number;
  _FPDF_GetPageHeight(page: number): number;
  _FPDFBitmap_CreateEx(width: number, height: number, format: number, at: number, stride: number): number;
  _FPDFBitmap_FillRect(
    bitmap: number,
    x: number,
    y: number,
    width: number,
    height: number,
    argb: number,
  ): void;
  _FPDFBitmap_Destroy(bitmap: number): void;
  _FPDF_RenderPageBitmap(
    bitmap: number,
    page: number,
    x: number,
    y: number,
    width: number,
    height: number,
    turn: number,
    flags: number,
  ): void;
}

/** A fresh one: what a damaged file did to its memory ends with it. By `require`, to stay outside of the bundles. */
export async function loadPdf(): Promise<PdfLibrary> {
  const { PDFiumLibrary: Library } = createRequire(import.meta.url)("@hyzyla/pdfium") as {
    PDFiumLibrary: { init(): Promise<PDFiumLibrary> };
  };
  const library = await Library.init();
  return (library as unknown as { module: PdfLibrary }).module;
}
