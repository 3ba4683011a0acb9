/** How the quality of an extract is shown. */
export interface QualityView {
  readonly names: boolean; // hospitals and surgeons by their identifiers
}
