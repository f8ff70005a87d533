import { answerCases } from './answerCases';
import { readingsOf } from './readingsOf';

// Reads the stitches of photos for the fit of the stated chance.
await answerCases(readingsOf);
