export const quoteName = (name: string): string => `"${name.replaceAll('"', '""')}"`;
export const quoteText = (text: string): string => `'${text.replaceAll("'", "''")}'`;
