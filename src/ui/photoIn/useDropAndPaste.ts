import { useEffect, useRef, useState } from 'react';
import { filesIn } from './incoming';

const bringsFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest('input, textarea, select, [contenteditable]') !== null;

/**
 * Takes a file that is dropped anywhere on the page or pasted into it; `several`: all of them, not only the first. True while
 * something hovers over the page.
 */
export const useDropAndPaste = (onFile: (file: File) => void, several = false): boolean => {
  const [hovering, setHovering] = useState(false);
  const take = useRef<(files: readonly File[]) => void>(() => undefined);
  take.current = (files) => {
    for (const file of several ? files : files.slice(0, 1)) onFile(file);
  };

  useEffect(() => {
    const over = (event: DragEvent): void => {
      if (!bringsFiles(event)) return;
      event.preventDefault();
      setHovering(true);
    };
    const leave = (event: DragEvent): void => {
      if (event.relatedTarget === null) setHovering(false);
    };
    const drop = (event: DragEvent): void => {
      if (!bringsFiles(event)) return;
      event.preventDefault();
      setHovering(false);
      take.current(filesIn(event.dataTransfer));
    };
    const paste = (event: ClipboardEvent): void => {
      const files = filesIn(event.clipboardData);
      const [file] = files;
      if (!file || (isTyping(event.target) && !file.type.startsWith('image/'))) return;
      event.preventDefault();
      take.current(files);
    };
    window.addEventListener('dragover', over);
    window.addEventListener('dragleave', leave);
    window.addEventListener('drop', drop);
    window.addEventListener('paste', paste);
    return () => {
      window.removeEventListener('dragover', over);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('drop', drop);
      window.removeEventListener('paste', paste);
    };
  }, []);

  return hovering;
};
