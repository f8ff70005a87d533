import { useEffect, useRef, useState } from 'react';
import { firstFile } from './incoming';

const bringsFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest('input, textarea, select, [contenteditable]') !== null;

/** Takes files that are dropped anywhere on the page or pasted into it. True while something hovers over the page. */
export const useDropAndPaste = (onFile: (file: File) => void): boolean => {
  const [hovering, setHovering] = useState(false);
  const take = useRef(onFile);
  take.current = onFile;

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
      const file = firstFile(event.dataTransfer);
      if (file) take.current(file);
    };
    const paste = (event: ClipboardEvent): void => {
      const file = firstFile(event.clipboardData);
      if (!file || (isTyping(event.target) && !file.type.startsWith('image/'))) return;
      event.preventDefault();
      take.current(file);
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
