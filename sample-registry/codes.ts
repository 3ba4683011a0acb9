import type {
  approachCodes, designClassCodes, fixationCodes, indicationCodes, materialCodes, procedureClassCodes, reasonCodes, sexCodes, sideCodes,
} from '../lib/contract/codes';

// The codes of the contract as types.
type CodeIn<T extends readonly { readonly code: string }[]> = T[number]['code'];

export type Approach = CodeIn<typeof approachCodes>;
export type DesignClass = CodeIn<typeof designClassCodes>;
export type Fixation = CodeIn<typeof fixationCodes>;
export type Indication = CodeIn<typeof indicationCodes>;
export type Material = CodeIn<typeof materialCodes>;
export type ProcedureClass = CodeIn<typeof procedureClassCodes>;
export type Reason = CodeIn<typeof reasonCodes>;
export type Sex = CodeIn<typeof sexCodes>;
export type Side = CodeIn<typeof sideCodes>;
