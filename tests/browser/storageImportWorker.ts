import { openArchive, takeIn } from '../../src/storage/archive/archive';
import { createStorage } from '../../src/storage/repository';

/** Takes an archive in, says when a given photo comes up, and then waits for ever: to be killed there. */
addEventListener('message', async ({ data }: MessageEvent<{ name: string; file: Blob; stopAt: number }>) => {
  const storage = createStorage(data.name);
  const plan = await openArchive(storage, data.file);
  let asked = 0;
  const readPhoto: typeof plan.contents.readPhoto = async (entry) => {
    asked += 1;
    if (asked < data.stopAt) return await plan.contents.readPhoto(entry);
    postMessage('half way');
    return await new Promise(() => undefined);
  };
  const contents = { ...plan.contents, readPhoto };
  await takeIn(storage, { ...plan, contents }, { decide: () => 'keepHere' });
  postMessage('done');
});
