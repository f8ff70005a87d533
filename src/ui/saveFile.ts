/** Hands a file to the user the way the browser saves downloads. */
export const saveFile = (file: Blob, name: string): void => {
  const url = URL.createObjectURL(file);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.hidden = true;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser reads the address after the click; an hour is far more than the longest download takes to begin.
  setTimeout(() => URL.revokeObjectURL(url), 3_600_000);
};
