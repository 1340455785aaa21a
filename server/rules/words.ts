/** How rules write numbers. */

/** Two digits that count: 0.34, 3.4, 34, 340. */
export function figure(value: number): string {
  const digits = value < 1 ? 2 : value < 10 ? 1 : 0;
  return String(Number(value.toFixed(digits)));
}

export function cm2(area: number): string {
  return `${figure(area)} cm²`;
}

/** Shorter than 1 mm in hundredths, else as `figure`. */
export function mm(length: number): string {
  return `${length < 1 ? Number(length.toFixed(2)) : figure(length)} mm`;
}

/** A share 0–1 as a percentage. */
export function percent(share: number): string {
  return `${figure(share * 100)} %`;
}
