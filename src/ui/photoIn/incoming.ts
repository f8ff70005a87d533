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

/** The files of a drop or of the clipboard: its pictures, or whatever there is when none of them says that it is one. */
export const filesIn = (transfer: DataTransfer | null): readonly File[] => {
  const items = [...(transfer?.items ?? [])].filter((item) => item.kind === 'file');
  const pictures = items.filter((item) => item.type.startsWith('image/'));
  const files = (pictures.length > 0 ? pictures : items).flatMap((item) => item.getAsFile() ?? []);
  return files.length > 0 ? files : [...(transfer?.files ?? [])];
};
