import { useEffect, useState } from 'react';

/** A file as it lies in the notebook. */
interface StoredFile {
  readonly mime: string;
  readonly bytes: ArrayBuffer;
}

/**
 * An address for a stored file that an image element can show; null until it is there, and when there is none. It is given back when
 * the file changes or the place that shows it goes away. `read` must stay the same function while the file is the same.
 */
export const useObjectAddress = (read: (() => Promise<StoredFile | null>) | null): string | null => {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    if (read === null) return;
    let made: string | null = null;
    let gone = false;
    read().then(
      (file) => {
        if (gone || !file) return;
        made = URL.createObjectURL(new Blob([file.bytes], { type: file.mime }));
        setUrl(made);
      },
      // A list or form without one of its pictures still works; a notebook that cannot be read says so where it is opened or saved.
      () => undefined,
    );
    return () => {
      gone = true;
      if (made) URL.revokeObjectURL(made);
      setUrl(null);
    };
  }, [read]);
  return url;
};
