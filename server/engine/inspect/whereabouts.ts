/** Where in a picture something lies, in ninths. */
export class Whereabouts {
  readonly #width: number;
  readonly #height: number;
  readonly #counts = new Float64Array(9);
  #sum = 0;

  constructor(width: number, height: number) {
    this.#width = width;
    this.#height = height;
  }

  add(pixel: number, weight = 1): void {
    const x = Math.floor(((pixel % this.#width) * 3) / this.#width);
    const y = Math.floor((Math.floor(pixel / this.#width) * 3) / this.#height);
    this.#counts[y * 3 + x]! += weight;
    this.#sum += weight;
  }

  get sum(): number {
    return this.#sum;
  }

  /** "upper left" where that ninth holds more than half of it, "mostly upper left" from a third on, else "in several places". */
  words(): string {
    if (this.#sum === 0) return "nowhere";
    const most = this.#counts.indexOf(Math.max(...this.#counts));
    const share = this.#counts[most]! / this.#sum;
    const name = NINTHS[most]!;
    return share > 0.5 ? name : share > 1 / 3 ? `mostly ${name}` : "in several places";
  }
}

const NINTHS = [
  "upper left",
  "upper middle",
  "upper right",
  "middle left",
  "in the middle",
  "middle right",
  "lower left",
  "lower middle",
  "lower right",
] as const;
