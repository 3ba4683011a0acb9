import type { Role } from '../lib/contract/codes';
import type { DesignClass, Fixation, Material } from './codes';

/** A model of the invented catalogue: codes only. `from` and `to` are the years in which it is sold, both included; null: to the end. */
export interface ScenarioModel {
  readonly code: string;
  readonly maker: string;
  readonly role: Role;
  readonly design: DesignClass;
  readonly material: Material;
  readonly fixation: Fixation | null; // null: either, or not fixed to bone
  readonly from: number;
  readonly to: number | null;
  readonly sizes: readonly string[];
}

/** Makers of shoulder components and their share as a hospital's main supplier. */
export const makers = { 'MK-A': 0.3, 'MK-B': 0.22, 'MK-C': 0.22, 'MK-D': 0.14, 'MK-E': 0.12 } as const;

const glenoidSizes = ['S', 'M', 'L', 'XL'];
const stemSizes = ['8', '10', '12', '14', '16'];
const headSizes = ['42', '44', '46', '48', '50', '52'];
const sphereSizes = ['36', '38', '40', '42'];
const insertSizes = ['0', '3', '6'];

type Line = readonly [code: string, maker: string, material: Material, from: number, to?: number];
const family = (role: Role, design: DesignClass, fixation: ScenarioModel['fixation'], sizes: readonly string[], lines: readonly Line[]): ScenarioModel[] =>
  lines.map(([code, maker, material, from, to]) => ({ code, maker, role, design, material, fixation, from, to: to ?? null, sizes }));

const conventional = 'polyethylene_conventional';
const crosslinked = 'polyethylene_crosslinked';
const antioxidant = 'polyethylene_antioxidant';

export const models: readonly ScenarioModel[] = [
  ...family('glenoid', 'all_poly_keeled', 'cemented', glenoidSizes, [
    ['G-KEL-01', 'MK-A', conventional, 2005, 2014], ['G-KEL-02', 'MK-B', conventional, 2005, 2019], ['G-KEL-03', 'MK-C', crosslinked, 2005],
    ['G-KEL-04', 'MK-D', conventional, 2005],
  ]),
  ...family('glenoid', 'all_poly_pegged', 'cemented', glenoidSizes, [
    ['G-PEG-01', 'MK-A', conventional, 2005, 2013], ['G-PEG-02', 'MK-A', crosslinked, 2012], ['G-PEG-03', 'MK-B', conventional, 2005],
    ['G-PEG-04', 'MK-C', crosslinked, 2005], ['G-PEG-05', 'MK-D', conventional, 2005], ['G-PEG-06', 'MK-E', antioxidant, 2012],
  ]),
  ...family('glenoid', 'all_poly_fluted_peg', 'hybrid', glenoidSizes, [
    ['G-FLU-01', 'MK-A', crosslinked, 2010], ['G-FLU-02', 'MK-C', crosslinked, 2011], ['G-FLU-03', 'MK-D', crosslinked, 2012],
    ['G-FLU-04', 'MK-E', antioxidant, 2013], ['G-FLU-05', 'MK-B', crosslinked, 2013], ['G-FLU-06', 'MK-C', antioxidant, 2022],
  ]),
  ...family('glenoid', 'metal_backed', 'uncemented', glenoidSizes, [
    ['G-MET-01', 'MK-A', 'metal_polyethylene', 2005, 2013], ['G-MET-02', 'MK-B', 'metal_polyethylene', 2005],
    ['G-MET-03', 'MK-D', 'metal_polyethylene', 2006, 2018], ['G-MET-04', 'MK-E', 'metal_polyethylene', 2011],
  ]),
  ...family('glenoid', 'reverse_baseplate', 'uncemented', ['24', '25', '27', '29'], [
    ['G-BAS-01', 'MK-A', 'titanium', 2005, 2013], ['G-BAS-02', 'MK-A', 'titanium', 2012], ['G-BAS-03', 'MK-B', 'titanium', 2005],
    ['G-BAS-04', 'MK-C', 'titanium', 2006], ['G-BAS-05', 'MK-D', 'titanium', 2008], ['G-BAS-06', 'MK-E', 'titanium', 2010],
  ]),
  ...family('glenosphere', 'glenosphere_standard', null, sphereSizes, [
    ['S-STA-01', 'MK-A', 'cobalt_chrome', 2005], ['S-STA-02', 'MK-B', 'cobalt_chrome', 2005], ['S-STA-03', 'MK-C', 'cobalt_chrome', 2006],
    ['S-STA-04', 'MK-D', 'cobalt_chrome', 2008], ['S-STA-05', 'MK-E', 'titanium', 2010],
  ]),
  ...family('glenosphere', 'glenosphere_lateralised', null, sphereSizes, [
    ['S-LAT-01', 'MK-A', 'cobalt_chrome', 2013], ['S-LAT-02', 'MK-B', 'cobalt_chrome', 2014], ['S-LAT-03', 'MK-C', 'cobalt_chrome', 2010],
    ['S-LAT-04', 'MK-D', 'cobalt_chrome', 2015], ['S-LAT-05', 'MK-E', 'titanium', 2012],
  ]),
  ...family('humeral_stem', 'standard_stem', null, stemSizes, [
    ['H-STD-01', 'MK-A', 'titanium', 2005], ['H-STD-02', 'MK-B', 'titanium', 2005], ['H-STD-03', 'MK-C', 'cobalt_chrome', 2005, 2015],
    ['H-STD-04', 'MK-C', 'titanium', 2014], ['H-STD-05', 'MK-D', 'titanium', 2005], ['H-STD-06', 'MK-E', 'titanium', 2010],
  ]),
  ...family('humeral_stem', 'short_stem', 'uncemented', ['1', '2', '3', '4', '5'], [
    ['H-SHO-01', 'MK-A', 'titanium', 2010], ['H-SHO-02', 'MK-B', 'titanium', 2010], ['H-SHO-03', 'MK-C', 'titanium', 2011],
    ['H-SHO-04', 'MK-D', 'titanium', 2012], ['H-SHO-05', 'MK-E', 'titanium', 2012],
  ]),
  ...family('humeral_stem', 'stemless', 'uncemented', ['1', '2', '3', '4'], [
    ['H-STL-01', 'MK-A', 'titanium', 2012], ['H-STL-02', 'MK-B', 'titanium', 2013], ['H-STL-03', 'MK-C', 'titanium', 2013],
    ['H-STL-04', 'MK-D', 'titanium', 2014], ['H-STL-05', 'MK-E', 'titanium', 2012],
  ]),
  ...family('humeral_stem', 'long_stem', null, stemSizes, [
    ['H-LNG-01', 'MK-A', 'titanium', 2005], ['H-LNG-02', 'MK-B', 'titanium', 2005], ['H-LNG-03', 'MK-C', 'titanium', 2005],
    ['H-LNG-04', 'MK-D', 'titanium', 2005], ['H-LNG-05', 'MK-E', 'titanium', 2010],
  ]),
  ...family('humeral_stem', 'fracture_stem', null, stemSizes, [
    ['H-FRX-01', 'MK-A', 'titanium', 2005], ['H-FRX-02', 'MK-B', 'titanium', 2005], ['H-FRX-03', 'MK-C', 'titanium', 2005],
    ['H-FRX-04', 'MK-D', 'titanium', 2005], ['H-FRX-05', 'MK-E', 'titanium', 2010],
  ]),
  ...family('humeral_head', 'modular_head', null, headSizes, [
    ['K-MOD-01', 'MK-A', 'cobalt_chrome', 2005], ['K-MOD-02', 'MK-B', 'cobalt_chrome', 2005], ['K-MOD-03', 'MK-C', 'cobalt_chrome', 2005],
    ['K-MOD-04', 'MK-D', 'cobalt_chrome', 2005], ['K-MOD-05', 'MK-E', 'cobalt_chrome', 2010], ['K-CER-01', 'MK-A', 'ceramic', 2011],
    ['K-PYR-01', 'MK-D', 'pyrocarbon', 2014],
  ]),
  ...family('humeral_head', 'resurfacing_cap', 'uncemented', headSizes, [
    ['K-CAP-01', 'MK-A', 'cobalt_chrome', 2005], ['K-CAP-02', 'MK-B', 'cobalt_chrome', 2005], ['K-CAP-03', 'MK-D', 'cobalt_chrome', 2006],
  ]),
  ...family('humeral_insert', 'standard_insert', null, insertSizes, [
    ['N-STA-01', 'MK-A', conventional, 2005], ['N-STA-02', 'MK-B', conventional, 2005], ['N-STA-03', 'MK-C', crosslinked, 2006],
    ['N-STA-04', 'MK-D', conventional, 2008], ['N-STA-05', 'MK-E', antioxidant, 2010],
  ]),
  ...family('humeral_insert', 'constrained_insert', null, insertSizes, [
    ['N-CON-01', 'MK-A', conventional, 2005], ['N-CON-02', 'MK-B', conventional, 2005], ['N-CON-03', 'MK-C', crosslinked, 2006],
    ['N-CON-04', 'MK-D', conventional, 2008], ['N-CON-05', 'MK-E', antioxidant, 2010],
  ]),
  ...family('acetabular_cup', 'shell', 'uncemented', ['48', '50', '52', '54', '56'], [['A-SHE-01', 'MK-F', 'titanium', 2005], ['A-SHE-02', 'MK-G', 'titanium', 2005]]),
  ...family('acetabular_liner', 'standard_insert', null, ['32', '36'], [['L-STA-01', 'MK-F', crosslinked, 2005], ['L-STA-02', 'MK-G', crosslinked, 2005]]),
  ...family('femoral_stem', 'standard_stem', null, stemSizes, [['F-STD-01', 'MK-F', 'titanium', 2005], ['F-STD-02', 'MK-G', 'steel', 2005]]),
  ...family('femoral_head', 'modular_head', null, ['32', '36'], [['B-MOD-01', 'MK-F', 'ceramic', 2005], ['B-MOD-02', 'MK-G', 'cobalt_chrome', 2005]]),
  ...family('knee_femoral', 'cruciate_retaining', 'cemented', ['3', '4', '5', '6'], [['T-CRR-01', 'MK-F', 'cobalt_chrome', 2005], ['T-CRR-02', 'MK-G', 'cobalt_chrome', 2005]]),
  ...family('knee_femoral', 'posterior_stabilised', 'cemented', ['3', '4', '5', '6'], [['T-POS-01', 'MK-F', 'cobalt_chrome', 2005], ['T-POS-02', 'MK-G', 'cobalt_chrome', 2005]]),
  ...family('knee_tibial', 'fixed_bearing', 'cemented', ['3', '4', '5', '6'], [['T-FIX-01', 'MK-F', 'titanium', 2005], ['T-FIX-02', 'MK-G', 'titanium', 2005]]),
  ...family('knee_tibial', 'mobile_bearing', 'cemented', ['3', '4', '5', '6'], [['T-MOB-01', 'MK-F', 'cobalt_chrome', 2005], ['T-MOB-02', 'MK-G', 'cobalt_chrome', 2005]]),
  ...family('knee_insert', 'standard_insert', null, ['9', '10', '12', '14'], [['T-INS-01', 'MK-F', crosslinked, 2005], ['T-INS-02', 'MK-G', conventional, 2005]]),
  ...family('patella', 'all_poly_patella', 'cemented', ['29', '32', '35'], [['T-PAT-01', 'MK-F', conventional, 2005], ['T-PAT-02', 'MK-G', conventional, 2005]]),
];
