import { answerCases } from './answerCases';
import { type ScaleCase, scalePhoto, scaleRow } from './scaleCase';

// Finds scales for the bench.
await answerCases(async (scaleCase: ScaleCase) => scaleRow(scaleCase, await scalePhoto(scaleCase)));
