import { z } from 'zod';
import { Mapping } from './mapping';

/** The form of a mapping file as JSON Schema (draft 2020-12), for editors and checks elsewhere. That the fields of a table are its own is checked beyond it. */
export const mappingSchema = (): unknown => ({
  title: 'Mapping of files to the tables of a joint replacement extract',
  description: 'How the files of a registry, hospital or study become the tables of the data package. It holds names of columns, codes and settings, and no value of a record.',
  ...z.toJSONSchema(Mapping, { io: 'input' }),
});
