import type { Screening } from "./recipe.ts";

/** Such as `45lpi` or `fm0.12mm`: how a screen stands in the names of samples and beside measured figures. */
export function screenName({
  method,
  rulingLpi,
  grainMm,
}: Pick<Screening, "method" | "rulingLpi" | "grainMm">): string {
  return method === "am" ? `${figure(rulingLpi)}lpi` : `${method}${figure(grainMm)}mm`;
}

function figure(value: number): string {
  return String(Number(value.toFixed(2)));
}
