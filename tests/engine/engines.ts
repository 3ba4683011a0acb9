import { openNodeDatabase } from '../../lib/engine/node';
import { openWasmInNode } from './wasmInNode';

/** Both engines: every test of loading runs on each. */
export const engines = [
  { engine: 'native', open: openNodeDatabase },
  { engine: 'wasm', open: openWasmInNode },
] as const;
