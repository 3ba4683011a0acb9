import { z } from 'zod';
import type { Evidence } from '../reports/evidence';
import { BlockSchema } from './blockSchema';
import type { Json } from '../contract/canonical';

const list = <T extends z.ZodType>(of: T) => z.array(of).readonly();

export const SubjectSchema = z.strictObject({ kind: z.enum(['hospital', 'surgeon', 'component']), id: z.string().min(1), label: z.string().min(1) });

const SourceSchema = z.strictObject({
  registry: z.string(), version: z.string(), opened: z.string(), closingDate: z.iso.date(), fingerprint: z.string().regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in hexadecimal'),
});

/** What was on a page when a question was raised, as it comes back from a file. */
export const EvidenceSchema = z.strictObject({
  subject: SubjectSchema,
  title: z.string().min(1),
  question: z.string(),
  request: z.json(),
  source: SourceSchema,
  look: z.int().min(1).nullable(),
  blocks: list(BlockSchema),
  methods: list(z.string()),
  notes: list(z.string()),
});

/** The evidence as JSON. Numbers that JSON cannot write become words; the schema turns them back. */
export const frozen = (evidence: Evidence): Json =>
  JSON.parse(JSON.stringify(evidence, (_, value: unknown) => (typeof value === 'number' && !Number.isFinite(value) ? String(value) : value))) as Json;

/** The evidence in a form that can be drawn. Throws on what is not evidence. */
export const thawed = (evidence: unknown): Evidence => EvidenceSchema.parse(evidence);

const Head = z.object({ subject: SubjectSchema, title: z.string(), source: SourceSchema, request: z.json() });

/** What it is about and where it comes from, without going through the drawings. */
export const headOf = (evidence: unknown): Pick<Evidence, 'subject' | 'title' | 'source' | 'request'> => Head.parse(evidence);
