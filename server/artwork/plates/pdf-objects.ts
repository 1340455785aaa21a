import { PDFArray, PDFDict, PDFName, PDFNumber } from "@cantoo/pdf-lib";

/** The dictionary under a key; undefined where there is none. */
export function dictAt(dict: PDFDict | undefined, key: string): PDFDict | undefined {
  const found = dict?.lookup(PDFName.of(key));
  return found instanceof PDFDict ? found : undefined;
}

/** The numbers of a list; undefined where it is none. */
export function numbersOf(object: unknown): number[] | undefined {
  if (!(object instanceof PDFArray)) return undefined;
  const numbers = object.asArray().map((_, i) => object.lookup(i));
  return numbers.every((v) => v instanceof PDFNumber) ? numbers.map((v) => v.asNumber()) : undefined;
}
