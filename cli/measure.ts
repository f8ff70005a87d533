import { commandFrom } from './arguments';
import { photosAt } from './files';
import type { PhotoReport } from './report';
import { sentenceFor } from './sentence';
import { helpText, UsageError } from './usage';

/** Runs the command and gives its exit code. */
const run = async (words: readonly string[]): Promise<number> => {
  const command = commandFrom(words);
  if (command.kind === 'help') {
    process.stdout.write(helpText);
    return 0;
  }
  const photos = command.paths.flatMap((path) => {
    const found = photosAt(path);
    if (found.length === 0) throw new UsageError(`There are no photos in the folder ${path}.`);
    return found;
  });
  // Loaded only now: OpenCV takes its time, and a misspelt option should not wait for it.
  const [{ opencvReady }, { measurePhoto }] = await Promise.all([
    import('../workers/opencv'),
    import('./measurePhoto'),
  ]);
  await opencvReady();
  const reports: PhotoReport[] = [];
  for (const photo of photos) {
    const report = await measurePhoto(photo, command);
    reports.push(report);
    if (!command.json) process.stdout.write(`${sentenceFor(report)}\n`);
  }
  if (command.json)
    process.stdout.write(`[\n${reports.map((report) => JSON.stringify(report)).join(',\n')}\n]\n`);
  return reports.every((report) => report.status !== 'unreadable') ? 0 : 1;
};

/** Whoever reads the output may stop early (`| head`); there is nobody left to tell then. */
process.stdout.on('error', () => process.exit(0));

try {
  process.exitCode = await run(process.argv.slice(2));
} catch (cause) {
  // Never left uncaught: Node would print the line of OpenCV that caught it, and that line is ten megabytes long.
  process.stderr.write(`${cause instanceof Error ? cause.message : String(cause)}\n`);
  process.exitCode = cause instanceof UsageError ? 2 : 1;
}
