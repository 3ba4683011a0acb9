import { appliesTo, codeLists, type CodeListName, type Joint } from '../../contract/codes';
import { plain } from './names';

/** Values that say `not recorded` in most files. Common practice, no source. */
const missing = new Set(['na', 'nan', 'null', 'unknown', 'unbekannt', 'inconnu', 'desconocido', 'ukjent', 'okand', 'ka', 'keineangabe', 'notrecorded', 'notknown', 'notavailable',
  'missing', 'nr', 'nk', 'nd', 'ns', 'uk', 'unk', '']);
export const meansMissing = (value: string): boolean => missing.has(plain(value));

/** Codes by what files write for them, plain. Common practice, no source. */
const words: Partial<Record<CodeListName, Readonly<Record<string, string>>>> = {
  sex: { female: 'f w women woman frau weiblich femme femenino mujer kvinna kvinne kvinde k', male: 'm men man mann mannlich maennlich homme masculino hombre mand h' },
  side: { left: 'l li links gauche izquierda venstre vanster lt', right: 'r re rechts droite derecha hoyre hojre hoger rt d' },
  joint: { shoulder: 'schulter epaule hombro skulder axel', hip: 'huefte hufte hanche cadera hofte hoft', knee: 'knie genou rodilla kne kna' },
  procedure_class: {
    anatomic_total: 'anatomic anatomical atsa tsa anatomisch anatomique anatomica totalanatomic anatomictotalshoulder',
    reverse_total: 'reverse reversed rtsa rsa invers inverse inversed inversa reversetotalshoulder', hemi: 'ha hemiprosthesis hemiprothese hemiarthroplasty hemiarthroplastie hemiartroplastia',
    resurfacing: 'oberflachenersatz resurfacage cap', total_hip: 'tha thr totalhip', total_knee: 'tka tkr totalknee', partial_knee: 'ukr uka unicompartmental schlitten',
  },
  indication: {
    osteoarthritis: 'oa arthrose arthrosis omarthrose artrosis artrose primaryosteoarthritis', cuff_arthropathy: 'cta cuffteararthropathy cuffarthropathy defektarthropathie',
    acute_fracture: 'fracture fraktur acutefracture fractura fraktura', fracture_sequelae: 'sequelae fracturesequela frakturfolge frakturfolgen malunion nonunion',
    inflammatory_arthritis: 'ra rheumatoidarthritis inflammatory rheuma rheumatoid', osteonecrosis: 'avn avascularnecrosis necrosis nekrose', instability_arthropathy: 'instability instabilitatsarthropathie',
    tumour: 'tumor neoplasm', other_indication: 'other sonstige andere autre otro annat',
  },
  approach: { deltopectoral: 'dp', anterosuperior: 'superolateral deltoidsplit', other_approach: 'other sonstige andere' },
  fixation: { cemented: 'c zementiert cimente cementado sementert cementerad yes', uncemented: 'u zementfrei unzementiert cementless noncimente nocementado usementert ocementerad pressfit', none: 'keine aucune' },
  role: { glenoid: 'pfanne glenoidcomponent baseplate', humeral_stem: 'stem schaft humerus tige', humeral_head: 'head kopf tete', glenosphere: 'glenosphare sphere', humeral_insert: 'insert einsatz liner inlay' },
  reoperation_kind: {
    major: 'wechsel', minor: 'teilwechsel modularexchange linerexchange', reoperation: 'ohnewechsel noexchange washout',
  },
  reason: {
    infection: 'infekt infeksjon infeccion deepinfection pji', periprosthetic_fracture: 'fracture fraktur periprostheticfracture', glenoid_loosening: 'looseningglenoid lockerungpfanne lockerungglenoid',
    humeral_loosening: 'looseninghumerus looseningstem lockerungschaft lockerunghumerus', loosening: 'asepticloosening lockerung descellement losning', instability: 'dislocation luxation instabilitat',
    cuff_failure: 'cufftear rotatorcuff', wear: 'pewear abrieb usure polyethylenewear', pain: 'schmerz schmerzen douleur dolor smerte', stiffness: 'arthrofibrosis steife', other_reason: 'other sonstige andere autre otro',
  },
  yes_no: { yes: 'y j ja oui si 1true true', no: 'n nein non nei nej false' },
};

/** The code that a value stands for, and how sure that is; null: nothing tells. Single digits tell nothing, unless they are codes. */
export function codeFor(list: CodeListName, value: string, joint: Joint | null): { readonly code: string; readonly sure: boolean } | null {
  const codes = codeLists[list];
  if (codes.some(({ code }) => code === value)) return { code: value, sure: true };
  const written = plain(value);
  const named = codes.filter((each) => (joint === null || appliesTo(each, joint)) && (plain(each.code) === written || plain(each.label) === written));
  if (named.length === 1) return { code: named[0]?.code ?? '', sure: true };
  const found = Object.entries(words[list] ?? {}).filter(([, names]) => written !== '' && names.split(' ').includes(written));
  return found.length === 1 ? { code: found[0]?.[0] ?? '', sure: false } : null;
}
