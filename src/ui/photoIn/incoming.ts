import type { IncomingPhoto } from '../../store/measureSessionTypes';

/** A file of the picker, a drop or the clipboard. */
export const incomingFile = (file: File): IncomingPhoto => ({
  name: file.name || 'pasted photo',
  mime: file.type,
  read: () => file.arrayBuffer(),
});

/** A sample photo that comes with the app. */
export const incomingSample = (name: string, url: string): IncomingPhoto => ({
  name: `${name}.jpg`,
  mime: 'image/jpeg',
  read: async () => {
    const answer = await fetch(url);
    if (!answer.ok) throw new Error(`the sample photo answered ${answer.status}`);
    return answer.arrayBuffer();
  },
});

/** The first file of a drop or of the clipboard; null when there is none. */
export const firstFile = (transfer: DataTransfer | null): File | null => {
  const items = [...(transfer?.items ?? [])].filter((item) => item.kind === 'file');
  const pictures = items.filter((item) => item.type.startsWith('image/'));
  return (pictures[0] ?? items[0])?.getAsFile() ?? transfer?.files[0] ?? null;
};
