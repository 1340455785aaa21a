import { createHash } from "node:crypto";

/**
 * Results of stages by what they depend on: the key of a result is made of the keys of what went into it and of its
 * own part of the plan, so that an edit misses only what it reaches. What was not used for longest goes first once
 * more than `limit` bytes are held. Results are shared: nobody may write to them.
 */
export class StageCache {
  readonly limit: number;
  readonly #held = new Map<string, { readonly value: unknown; readonly bytes: number }>();
  readonly #making = new Map<string, Promise<unknown>>();
  #bytes = 0;

  constructor(limit: number) {
    this.limit = limit;
  }

  /** Bytes held now: at most `limit`, but for one result that alone is larger. */
  get bytes(): number {
    return this.#bytes;
  }

  get<T>(key: string): T | undefined {
    const found = this.#held.get(key);
    if (!found) return undefined;
    this.#held.delete(key);
    this.#held.set(key, found);
    return found.value as T;
  }

  put<T>(key: string, value: T, bytes: number): T {
    this.#drop(key);
    this.#held.set(key, { value, bytes });
    this.#bytes += bytes;
    for (const oldest of this.#held.keys()) {
      if (this.#bytes <= this.limit || oldest === key) break;
      this.#drop(oldest);
    }
    return value;
  }

  /**
   * The result under `key`, made where it is not held. Who asks while another makes it waits for that one; should that
   * one be stopped, the next makes it.
   */
  async of<T>(key: string, make: () => T | Promise<T>, bytesOf: (value: T) => number): Promise<T> {
    for (;;) {
      const held = this.get<T>(key);
      if (held !== undefined) return held;
      const others = this.#making.get(key);
      if (!others) break;
      await others.catch(() => {});
    }
    const making = Promise.resolve().then(make);
    this.#making.set(key, making);
    try {
      const made = await making;
      return this.put(key, made, bytesOf(made));
    } finally {
      this.#making.delete(key);
    }
  }

  #drop(key: string): void {
    const found = this.#held.get(key);
    if (!found) return;
    this.#held.delete(key);
    this.#bytes -= found.bytes;
  }
}

/** One short key, with the stage's name in front, for the keys of what goes into a stage and its part of the plan. */
export function keyOf(stage: string, ...parts: readonly unknown[]): string {
  const digest = createHash("sha256").update(JSON.stringify(parts)).digest("base64url").slice(0, 22);
  return `${stage} ${digest}`;
}
