import { expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { cleanBits, discRows } from "../../../server/engine/screen/clean.ts";
import { random } from "../../property.ts";

/** Rows of single bits from a drawing: `#` is ink. */
function film(...rows: string[]) {
  const width = rows[0].length;
  return packed(
    rows.map((row) => [...row].map((c) => c === "#")),
    width,
  );
}

function packed(rows: readonly (readonly boolean[])[], width: number) {
  const stride = bytesPerRow(width);
  const bits = new Uint8Array(stride * rows.length);
  rows.forEach((row, y) => {
    row.forEach((ink, x) => {
      if (ink) bits[y * stride + (x >> 3)] |= 0x80 >> (x & 7);
    });
  });
  return { bits, width, height: rows.length };
}

function drawn({ bits, width, height }: ReturnType<typeof packed>): string[] {
  const stride = bytesPerRow(width);
  return Array.from({ length: height }, (_, y) =>
    Array.from({ length: width }, (_, x) =>
      bits[y * stride + (x >> 3)] & (0x80 >> (x & 7)) ? "#" : ".",
    ).join(""),
  );
}

/** The same, pixel by pixel: each group is walked, and the disc is tried at every place in it. */
function slowly(picture: readonly string[], side: number) {
  const rows = picture.map((row) => [...row]);
  const [height, width] = [rows.length, rows[0].length];
  const disc = discRows(side).flatMap(({ from, width: w }, y) =>
    Array.from({ length: w }, (_, i) => [from + i, y]),
  );
  const cleaned = (what: string, other: string, corners: boolean) => {
    let groups = 0;
    let pixels = 0;
    const seen = rows.map((row) => row.map(() => false));
    // One pixel more all round is clear film.
    const at = (x: number, y: number) => (x < 0 || y < 0 || x >= width || y >= height ? "." : rows[y][x]);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        if (rows[y][x] !== what || seen[y][x]) continue;
        const group = [[x, y]];
        seen[y][x] = true;
        let open = false;
        for (const [px, py] of group)
          for (let dy = -1; dy <= 1; dy++)
            for (let dx = -1; dx <= 1; dx++) {
              if (!corners && dx !== 0 && dy !== 0) continue;
              const [u, v] = [px + dx, py + dy];
              if (at(u, v) !== what) continue;
              if (u < 0 || v < 0 || u >= width || v >= height) open = true;
              else if (!seen[v][u]) {
                seen[v][u] = true;
                group.push([u, v]);
              }
            }
        const fits = group.some(([px, py]) =>
          disc.every(([i, j]) => at(px + i - disc[0][0], py + j) === what),
        );
        if (open || fits) continue;
        groups++;
        pixels += group.length;
        for (const [px, py] of group) rows[py][px] = other;
      }
    return [groups, pixels];
  };
  const [marks, markPixels] = cleaned("#", ".", true);
  const [holes, holePixels] = cleaned(".", "#", false);
  return { rows: rows.map((row) => row.join("")), dropped: { marks, markPixels, holes, holePixels } };
}

it("takes off what is smaller than the disc and keeps what holds it", () => {
  const sheet = film(
    "..............",
    ".##..###......",
    ".##..###..###.",
    ".....###......",
    "..#...........",
    "..............",
  );
  const dropped = cleanBits(sheet.bits, sheet.width, sheet.height, 2);
  expect(drawn(sheet)).toEqual([
    "..............",
    ".##..###......",
    ".##..###......",
    ".....###......",
    "..............",
    "..............",
  ]);
  expect(dropped).toEqual({ marks: 2, markPixels: 4, holes: 0, holePixels: 0 });
});

it("fills a hole into which the disc does not fit, and leaves a bay that opens to the film's edge", () => {
  const sheet = film("##.#####", "##.##..#", "#####..#", "#.######", "########");
  expect(cleanBits(sheet.bits, sheet.width, sheet.height, 2)).toEqual({
    marks: 0,
    markPixels: 0,
    holes: 1,
    holePixels: 1,
  });
  expect(drawn(sheet)).toEqual(["##.#####", "##.##..#", "#####..#", "########", "########"]);
});

it("joins to an edge what touches it, across a corner too", () => {
  const rows = ["#####..", "#####..", "#####..", ".....#.", "......#"];
  const sheet = film(...rows);
  expect(cleanBits(sheet.bits, sheet.width, sheet.height, 3).marks).toBe(0);
  expect(drawn(sheet)).toEqual(rows);
});

it("leaves a film alone whose smallest mark is a pixel", () => {
  const sheet = film("#.#", ".#.");
  expect(cleanBits(sheet.bits, sheet.width, sheet.height, 1).marks).toBe(0);
  expect(drawn(sheet)).toEqual(["#.#", ".#."]);
});

it("has discs of all pixels centred within them", () => {
  const drawnDisc = (side: number) =>
    discRows(side).map(({ from, width }) => " ".repeat(from) + "#".repeat(width));
  expect(drawnDisc(1)).toEqual(["#"]);
  expect(drawnDisc(2)).toEqual(["##", "##"]);
  expect(drawnDisc(4)).toEqual([" ##", "####", "####", " ##"]);
  expect(drawnDisc(5)).toEqual([" ###", "#####", "#####", "#####", " ###"]);
});

/** A film 128 pixels wide with a disc of ink, or with one of clear film in ink that has room for another. */
function withDisc(side: number, ink: boolean) {
  const rows = Array.from({ length: 2 * side + 4 }, () => new Array<boolean>(128).fill(!ink));
  discRows(side).forEach(({ from, width }, y) => {
    rows[y + 2].fill(ink, 3 + from, 3 + from + width);
  });
  return rows;
}

it.each([2, 3, 9, 16, 17, 33, 64, 100])(
  "keeps the very disc of %i pixels, and nothing that lacks one of its own",
  (side) => {
    for (const ink of [true, false]) {
      const whole = withDisc(side, ink);
      const sheet = packed(whole, 128);
      expect(cleanBits(sheet.bits, 128, 2 * side + 4, side)).toMatchObject({ marks: 0, holes: 0 });
      expect(sheet).toEqual(packed(whole, 128));
      const middle = side >> 1;
      const { from } = discRows(side)[0];
      for (const [x, y] of [
        [from, 0],
        [side - 1, middle],
        [side - 1 - from, side - 1],
      ]) {
        const lacking = withDisc(side, ink);
        lacking[y + 2][x + 3] = !ink;
        const { bits } = packed(lacking, 128);
        expect(cleanBits(bits, 128, 2 * side + 4, side)).toMatchObject(ink ? { marks: 1 } : { holes: 1 });
        expect(bits.every((byte) => byte === (ink ? 0 : 255))).toBe(true);
      }
    }
  },
);

it("takes no disc wider than 100 pixels", () => {
  const { bits } = packed(withDisc(100, true), 128);
  expect(cleanBits(bits, 128, 204, 140).marks).toBe(0);
});

it("finds what a walk through every group finds, on noise, patches and long lines, over strips and bytes", () => {
  const next = random(11);
  for (const [width, height, side, density] of [
    [37, 29, 2, 0.5],
    [70, 60, 3, 0.55],
    [131, 90, 4, 0.62],
    // Rows of whole bytes, which nothing keeps apart.
    [64, 90, 3, 0.6],
    [90, 600, 3, 0.6],
    [300, 270, 5, 0.66],
    [41, 530, 9, 0.8],
  ]) {
    const noise = Array.from({ length: height }, () => Array.from({ length: width }, () => next()));
    const rows = noise.map((row, y) =>
      row
        .map((v, x) => {
          const patch = noise[y - (y % (side + 1))][x - (x % (side + 2))];
          const line = x === 17 || (x === 18 && y % 90 < 45) || (y + 3 * x) % 211 === 0;
          return (patch + 0.35 * v) / 1.35 < density !== line ? "#" : ".";
        })
        .join(""),
    );
    const sheet = film(...rows);
    const wanted = slowly(rows, side);
    expect(cleanBits(sheet.bits, width, height, side), `${width} × ${height}`).toEqual(wanted.dropped);
    expect(drawn(sheet)).toEqual(wanted.rows);
    // Nothing too small is left.
    expect(cleanBits(sheet.bits, width, height, side)).toMatchObject({ marks: 0, holes: 0 });
  }
});
