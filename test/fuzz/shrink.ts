/** The shortest text found by taking pieces out, from halves to single characters, as long as `fails` holds. */
export async function shrunk(text: string, fails: (text: string) => Promise<boolean>): Promise<string> {
  let best = text;
  for (let size = Math.ceil(best.length / 2); size >= 1; size = size === 1 ? 0 : Math.ceil(size / 2)) {
    for (let at = 0; at < best.length; ) {
      const tried = best.slice(0, at) + best.slice(at + size);
      if (await fails(tried)) best = tried;
      else at += size;
    }
  }
  return best;
}
