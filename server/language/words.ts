/** "9 screens", "1 screen". */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** `a`, `a and b`, `a, b and c` */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** A share 0–1 as "12 %", or with so many decimals. */
export function percentage(share: number, decimals = 0): string {
  return `${(share * 100).toFixed(decimals)} %`;
}

/** With a capital, as a title or a message begins. */
export function sentence(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
