/** A run of set pixels in a row: number of its group's first run, place. */
const FIELDS = 4;
const [Y, FROM, TO, PARENT] = [0, 1, 2, 3];

/**
 * Groups of pixels that hang together, row by row from the top: of some loose pixels those groups that touch none of the
 * others (union–find over runs; Hoshen & Kopelman, Physical Review B 14, 1976, have it row by row). `corners` says whether
 * pixels touch across corners. What is kept goes with the number of loose runs, not with the size of the film.
 */
export class RunGroups {
  readonly #reach: 0 | 1;
  #runs = new Int32Array(FIELDS * 1024);
  #fixed = new Uint8Array(1024);
  #count = 0;
  /** Runs of the row before. */
  #before = { first: 0, last: 0, loose: undefined as Uint8Array | undefined };

  constructor(corners: boolean) {
    this.#reach = corners ? 1 : 0;
  }

  /** The next row: its loose pixels, if it has any, all its pixels, and all of the row above it. */
  row(y: number, loose: Uint8Array | undefined, all: Uint8Array, above: Uint8Array): void {
    const before = this.#before;
    const first = this.#count;
    if (loose) this.#take(y, loose, all);
    const last = this.#count;
    if (first === last && before.first === before.last) return;
    for (let run = first; run < last; run++) {
      if (this.#touches(run, above, before.loose)) this.#fixed[run] = 1;
    }
    const seen = first === last ? undefined : loose?.slice();
    for (let run = before.first, next = first; run < before.last; run++) {
      if (this.#touches(run, all, seen)) this.#fixed[run] = 1;
      // Runs stand from left to right in both rows.
      while (next < last && this.#get(next, TO) + this.#reach <= this.#get(run, FROM)) next++;
      for (let other = next; other < last; other++) {
        if (this.#get(other, FROM) >= this.#get(run, TO) + this.#reach) break;
        this.#join(run, other);
      }
    }
    this.#before = { first, last, loose: seen };
  }

  /** Groups that touch nothing else. */
  get small(): number {
    let groups = 0;
    this.#eachLoose((run) => {
      if (this.#get(run, PARENT) === run) groups++;
    });
    return groups;
  }

  get smallPixels(): number {
    let pixels = 0;
    this.eachSmall((_, from, to) => {
      pixels += to - from;
    });
    return pixels;
  }

  /** Runs of such groups, pixels `from` up to `to` of a row. */
  eachSmall(take: (y: number, from: number, to: number) => void): void {
    this.#eachLoose((run) => take(this.#get(run, Y), this.#get(run, FROM), this.#get(run, TO)));
  }

  #eachLoose(take: (run: number) => void): void {
    for (let run = 0; run < this.#count; run++) {
      const root = this.#root(run);
      if (this.#fixed[run]) this.#fixed[root] = 1;
    }
    for (let run = 0; run < this.#count; run++) if (!this.#fixed[this.#root(run)]) take(run);
  }

  #take(y: number, loose: Uint8Array, all: Uint8Array): void {
    const width = 8 * loose.length;
    for (let x = 0; x < width; ) {
      if (x % 8 === 0 && loose[x >> 3] === 0) x += 8;
      else if (!isSet(loose, x)) x++;
      else {
        const from = x;
        while (isSet(loose, x)) x++;
        this.#add(y, from, x);
        // What stands beside it in its row is not loose.
        if (isSet(all, from - 1) || isSet(all, x)) this.#fixed[this.#count - 1] = 1;
      }
    }
  }

  /** Whether a run has pixels of another row beside it that are not loose. */
  #touches(run: number, row: Uint8Array, loose: Uint8Array | undefined): boolean {
    const to = this.#get(run, TO) + this.#reach;
    for (let x = this.#get(run, FROM) - this.#reach; x < to; x++)
      if (isSet(row, x) && !(loose && isSet(loose, x))) return true;
    return false;
  }

  #add(y: number, from: number, to: number): void {
    const run = this.#count++;
    if (FIELDS * this.#count > this.#runs.length) {
      const [runs, fixed] = [this.#runs, this.#fixed];
      this.#runs = new Int32Array(2 * runs.length);
      this.#runs.set(runs);
      this.#fixed = new Uint8Array(2 * fixed.length);
      this.#fixed.set(fixed);
    }
    this.#runs.set([y, from, to, run], FIELDS * run);
  }

  #get(run: number, field: number): number {
    return this.#runs[FIELDS * run + field]!;
  }

  #root(run: number): number {
    let at = run;
    for (;;) {
      const parent = this.#get(at, PARENT);
      if (parent === at) return at;
      const above = this.#get(parent, PARENT);
      this.#runs[FIELDS * at + PARENT] = above;
      at = above;
    }
  }

  #join(a: number, b: number): void {
    const [one, two] = [this.#root(a), this.#root(b)];
    const [first, second] = one < two ? [one, two] : [two, one];
    if (this.#fixed[second]) this.#fixed[first] = 1;
    this.#runs[FIELDS * second + PARENT] = first;
  }
}

function isSet(bits: Uint8Array, x: number): boolean {
  return x >= 0 && (bits[x >> 3]! & (0x80 >> (x & 7))) !== 0;
}
