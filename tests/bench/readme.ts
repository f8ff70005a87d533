import { existsSync, readFileSync, writeFileSync } from 'node:fs';

/** The text with the part between the markers of `name` replaced, or the text itself where it has none. */
export const withBlock = (text: string, name: string, body: string): string => {
  const open = `<!-- bench:${name} -->`;
  const close = '<!-- /bench -->';
  const from = text.indexOf(open);
  const to = text.indexOf(close, from);
  if (from < 0 || to < 0) return text;
  return `${text.slice(0, from + open.length)}\n${body.trim()}\n${text.slice(to)}`;
};

/** Rewrites a marked block of a Markdown file, if the file and the block exist. */
export const rewriteBlock = (path: string, name: string, body: string): void => {
  if (!existsSync(path)) return;
  const before = readFileSync(path, 'utf8');
  const after = withBlock(before, name, body);
  if (after !== before) writeFileSync(path, after);
};
