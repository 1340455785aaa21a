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
   * one fail, the next makes it. The signal ends the wait, with its reason: what is being made is made and held.
   */
  async of<T>(
    key: string,
    make: () => T | Promise<T>,
    bytesOf: (value: T) => number,
    signal?: AbortSignal,
  ): Promise<T> {
    for (;;) {
      signal?.throwIfAborted();
      const held = this.get<T>(key);
      if (held !== undefined) return held;
      const others = this.#making.get(key);
      if (!others) break;
      await waited(
        others.catch(() => {}),
        signal,
      );
    }
    const making = Promise.resolve()
      .then(make)
      .then((made) => this.put(key, made, bytesOf(made)))
      .finally(() => this.#making.delete(key));
    this.#making.set(key, making);
    return waited(making, signal);
  }

  #drop(key: string): void {
    const found = this.#held.get(key);
    if (!found) return;
    this.#held.delete(key);
    this.#bytes -= found.bytes;
  }
}

/** The work's result, or the signal's reason as soon as it comes. */
function waited<T>(work: Promise<T>, signal: AbortSignal | undefined): Promise<T> {
  if (!signal) return work;
  return new Promise<T>((resolve, reject) => {
    const stop = () => reject(signal.reason);
    signal.addEventListener("abort", stop, { once: true });
    work.then(resolve, reject).finally(() => signal.removeEventListener("abort", stop));
  });
}

/** One short key, with the stage's name in front, for the keys of what goes into a stage and its part of the plan. */
export function keyOf(stage: string, ...parts: readonly unknown[]): string {
  const digest = createHash("sha256").update(JSON.stringify(parts)).digest("base64url").slice(0, 22);
  return `${stage} ${digest}`;
}
