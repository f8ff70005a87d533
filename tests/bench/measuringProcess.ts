import { answerCases } from './answerCases';
import { runCase } from './runCase';

// Measures photos for the bench.
await answerCases(runCase);
