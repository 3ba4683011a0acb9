import type { z } from 'zod';

export interface FormIssue {
  readonly path: readonly PropertyKey[];
  readonly message: string;
}

type Issue = z.core.$ZodIssue;

/** What is wrong with a value, in the words of the schema. Where it fits none of several forms, of the form that it comes nearest to. */
export const formIssues = ({ issues }: { readonly issues: readonly Issue[] }): FormIssue[] => issues.flatMap((issue) => nearest(issue, []));

function nearest(issue: Issue, before: readonly PropertyKey[]): FormIssue[] {
  const path = [...before, ...issue.path];
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [{ path, message: issue.message }];
  return issue.errors.reduce((a, b) => (b.length < a.length ? b : a)).flatMap((inner) => nearest(inner, path));
}
