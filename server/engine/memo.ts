/**
 * The same pure function, which keeps what it made of the latest `most` arguments: plain data, told apart as JSON. What was
 * made first is made again first. Callers share what they get and do not write to it.
 */
export function memo<Arguments extends readonly unknown[], Value>(
  most: number,
  make: (...from: Arguments) => Value,
): (...from: Arguments) => Value {
  const made = new Map<string, Value>();
  return (...from) => {
    const key = JSON.stringify(from);
    if (!made.has(key)) {
      if (made.size >= most) made.delete(made.keys().next().value!);
      made.set(key, make(...from));
    }
    return made.get(key)!;
  };
}
