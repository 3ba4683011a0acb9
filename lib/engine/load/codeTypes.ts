import { codeLists, type CodeListName } from '../../contract/codes';
import { quoteText, sql, type Database } from '../database';

/** The enum type of a code list in the database: its codes in their order. */
export const codeType = (list: CodeListName): string => `${list}_code`;

/** A code as SQL. Without its type, the engine would turn the column into text, row by row, to compare the two. */
export const codeText = (list: CodeListName, code: string): string => `${quoteText(code)}::${codeType(list)}`;

/** SQL: the code that stands at a place of the list, from 1. */
export const codeAt = (list: CodeListName, place: string): string => `([${codeLists[list].map(({ code }) => quoteText(code)).join(', ')}]::${codeType(list)}[])[${place}]`;

export async function createCodeTypes(database: Database): Promise<void> {
  for (const [name, codes] of Object.entries(codeLists)) {
    await database.query(sql(`CREATE TYPE ${name}_code AS ENUM (${codes.map((c) => quoteText(c.code)).join(', ')})`));
  }
}
