/** What the tests use of the Frictionless library, which has no types of its own. */
declare module 'datapackage' {
  export class Package {
    static load(descriptor: unknown, options: { basePath: string; strict: boolean }): Promise<Package>;
    readonly valid: boolean;
    readonly errors: readonly Error[];
    getResource(name: string): { iter(options: { forceCast: boolean }): Promise<AsyncIterable<unknown>> };
  }
}
