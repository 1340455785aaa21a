/** What a mesh lets through, from the figures of its maker's table. All lengths in millimetres. */
export interface MeshFigures {
  /** Clear width between two threads. */
  readonly opening: number;
  readonly thread: number;
  /** Of the stretched fabric. */
  readonly thickness: number;
}

/** Share of the mesh that is open, 0–1: (w / (w + d))², as mesh makers' tables give it. */
export function openArea({ opening, thread }: Omit<MeshFigures, "thickness">): number {
  return (opening / (opening + thread)) ** 2;
}

/**
 * Theoretical ink volume in cm³ to the square metre: open area × fabric thickness, as mesh makers' tables give it.
 * What reaches the garment also hangs on stencil, squeegee and ink.
 */
export function inkVolume(mesh: MeshFigures): number {
  return openArea(mesh) * mesh.thickness * 1000;
}
