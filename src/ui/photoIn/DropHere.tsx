import type { ReactNode } from 'react';
import './photoIn.css';

/** Covers the page while a photo is held over it, and says what letting go will do. */
export const DropHere = ({ children }: { readonly children: ReactNode }) => (
  <p className="drop-here">{children}</p>
);
