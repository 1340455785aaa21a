/** A number for a message: one decimal where it has any. */
export function formatNumber(value: number): string {
  return String(Number(value.toFixed(1)));
}
