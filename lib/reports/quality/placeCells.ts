import { text, type Cell } from '../table';

/** Hospitals have no name on the page unless names are shown, and never outside it. Their numbers follow the order of their identifiers. */
export const hospitalCell = (id: string | null, index: number, names: boolean): Cell =>
  (id === null ? text('Hospital not recorded') : { text: names ? id : `No. ${index + 1}`, outside: 'a hospital' });

/** A surgeon or hospital that something was found at. */
export const placeCell = (kind: 'hospital' | 'surgeon', id: string | null, names: boolean): Cell =>
  (id === null ? text(`${kind === 'hospital' ? 'Hospital' : 'Surgeon'} not recorded`) : names ? { text: id, outside: `a ${kind}` } : text(`a ${kind}`));
