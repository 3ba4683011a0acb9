import { z } from 'zod';
import * as codes from './codes';

// What a field of a table can be, with its description; read again by `fieldsOf`.

export const identifier = (description: string) => z.string().min(1).max(64).meta({ description });
export const day = (description: string) => z.iso.date().meta({ description });
export const coded = <L extends codes.CodeListName>(list: L, description: string) =>
  z.enum(codes.codesOf(codes.codeLists[list])).meta({ description, list });
/** Codes of one list joined with `;`. */
export const codedList = (list: codes.CodeListName, description: string) =>
  z.string().min(1).meta({ description: `${description} Several codes are joined with a semicolon.`, list, several: true });
