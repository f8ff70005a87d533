import * as v from 'valibot';

/*
 * The fields that records of several kinds share, as they must look when they come in from outside.
 */

/** A schema for every field of `T`. */
export type FieldsOf<T> = { readonly [K in keyof T]-?: v.GenericSchema<unknown, Exclude<T[K], undefined>> };

export const text = v.pipe(v.string(), v.maxLength(100_000));
export const id = v.pipe(v.string(), v.regex(/^[A-Za-z0-9_-]{1,64}$/));
export const moment = v.pipe(v.string(), v.isoTimestamp());
export const number = v.pipe(v.number(), v.finite());
export const positive = v.pipe(number, v.gtValue(0));
export const count = v.pipe(v.number(), v.safeInteger(), v.minValue(0));
export const list = <S extends v.GenericSchema>(item: S, most = 100_000) =>
  v.pipe(v.array(item), v.maxLength(most));
export const stamps = { createdAt: moment, updatedAt: moment };

/** A caliper reading of one to nine repeats; none at all is let through, as a draft may hold it. */
export const reading = v.looseObject({
  landmarkId: v.nullable(id),
  unit: v.picklist(['mm', 'in']),
  repeats: list(v.looseObject({ typed: text, mm: number }), 9),
});
