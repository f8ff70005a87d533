import fc from 'fast-check';

/**
 * Property tests draw the same cases in every run, so that a change is judged by itself and not by luck. Other cases are drawn with another
 * seed in `PROPERTY_SEED`.
 */
fc.configureGlobal({ seed: Number(process.env.PROPERTY_SEED ?? 20_261_125) });
