/** What a sheet is drawn of, in mm from its upper left corner: the same for a page in a browser and for a PDF. */
export type Mark =
  | {
      readonly kind: "text";
      readonly text: string;
      readonly x: number;
      /** Of its baseline. */
      readonly y: number;
      /** An em. */
      readonly size: number;
      readonly grey?: boolean;
    }
  | { readonly kind: "line"; readonly from: Point; readonly to: Point }
  | {
      readonly kind: "shape";
      /** Corners; the last joins the first. */
      readonly points: readonly Point[];
      /** #rrggbb. */
      readonly fill: string;
      /** Whether its edge is drawn. */
      readonly edge: boolean;
    }
  | {
      readonly kind: "picture";
      readonly png: Uint8Array;
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
    };

export type Point = readonly [x: number, y: number];

/** One page of a sheet. */
export interface SheetPage {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
}
