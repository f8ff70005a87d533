/**
 * Points that know which space they live in, so that a mixed-up space does not compile.
 *
 * Convention of every pixel space: continuous coordinates, origin at the outer corner of the top-left pixel,
 * x to the right, y down; the centre of pixel (column c, row r) is (c + 0.5, r + 0.5).
 */
declare const space: unique symbol;

/** A point in the space named `S`. The tag exists for the type checker only, never at run time. */
export interface PointIn<S extends string> {
  readonly x: number;
  readonly y: number;
  readonly [space]: S;
}

/** A point in the upright photo at its full resolution, in photo pixels. */
export type PhotoPoint = PointIn<'photo'>;
/** A point in a scaled-down work image that the vision code made for itself, in its pixels. */
export type WorkPoint = PointIn<'work'>;
/** A point on the flat surface that holds reference and swatch, in millimetres. */
export type PlanePoint = PointIn<'plane'>;

const tagged = <S extends string>(x: number, y: number): PointIn<S> => ({ x, y }) as unknown as PointIn<S>;

/** Makes a point of the upright, full-resolution photo from pixel coordinates. */
export const photoPoint = (x: number, y: number): PhotoPoint => tagged<'photo'>(x, y);
/** Makes a point of a work image from its pixel coordinates. */
export const workPoint = (x: number, y: number): WorkPoint => tagged<'work'>(x, y);
/** Makes a point of the plane from millimetres. */
export const planePoint = (x: number, y: number): PlanePoint => tagged<'plane'>(x, y);

/** Straight-line distance between two points of one space, in that space's unit. */
export const distance = <S extends string>(a: PointIn<S>, b: PointIn<S>): number =>
  Math.hypot(b.x - a.x, b.y - a.y);
