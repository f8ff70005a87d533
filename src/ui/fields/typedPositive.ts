/** A typed positive number; null for nothing, undefined for what is no such number. */
export const typedPositive = (text: string): number | null | undefined => {
  if (text.trim() === '') return null;
  const value = Number(text.trim().replace(',', '.'));
  return value > 0 && Number.isFinite(value) ? value : undefined;
};
