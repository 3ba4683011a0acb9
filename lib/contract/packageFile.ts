import { z } from 'zod';

/**
 * What loading reads of a `datapackage.json` (Frictionless Data Package, version 1): which resource is in which file. Anything else in it
 * is left to others. Cells must be separated by commas and text must be UTF-8.
 */
export const PackageFile = z.looseObject({
  resources: z.array(z.looseObject({
    name: z.string().min(1),
    path: z.union([z.string().min(1), z.tuple([z.string().min(1)]).transform(([path]) => path)]),
    encoding: z.string().regex(/^utf-?8$/i, 'must be utf-8').default('utf-8'),
    dialect: z.looseObject({ delimiter: z.literal(',').default(',') }).default({ delimiter: ',' }),
  })).min(1),
});
export type PackageFile = z.infer<typeof PackageFile>;

/** A path of a resource must stay inside the package: relative, no address of another host, no way up. */
export const isInside = (path: string): boolean => !/^([a-z][a-z0-9+.-]*:|[/\\~])/i.test(path) && !path.split(/[/\\]/).includes('..');
