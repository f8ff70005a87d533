const medium = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium' });

/** The day of a moment for a list, such as "2 Mar 2026"; the format is made once, which a list of many days notices. */
export const mediumDay = (moment: string): string => medium.format(new Date(moment));
