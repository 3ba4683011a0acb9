const dashes = ['', '9 4', '2 3', '10 3 2 3', '5 3', '14 4', '1 4', '8 3 2 3 2 3'];
const colours = 8;

/** The line of a group, by its position: colour and dash both tell it apart. Colours are the properties of globals.css. */
export const seriesColour = (group: number): string => `var(--series-${(group % colours) + 1})`;
export const seriesDash = (group: number): string => dashes[group % dashes.length] ?? '';
