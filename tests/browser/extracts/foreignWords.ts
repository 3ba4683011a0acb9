/** Names of files and columns of an invented registry, in German. */
export const foreignNames: Readonly<Record<string, string>> = {
  procedures: 'Ersteingriffe', components: 'Implantate', models: 'Artikel', revisions: 'Folgeeingriffe', deaths: 'Sterbefälle',
  procedure_id: 'Eingriff', patient_id: 'Patient', procedure_date: 'OP-Datum', side: 'Seite', class: 'Verfahren', indication: 'Diagnose', age_years: 'Alter',
  sex: 'Geschlecht', asa_grade: 'ASA', bmi: 'BMI', approach: 'Zugang', proximal_fixation: 'Verankerung Glenoid', distal_fixation: 'Verankerung Schaft',
  hospital_id: 'Klinik', surgeon_id: 'Operateur', region: 'Land', follow_up_start: 'Beobachtet ab', follow_up_end: 'Beobachtet bis',
  role: 'Teil', model_code: 'Artikelnummer', design_class: 'Bauart', material: 'Werkstoff', size: 'Größe', lot: 'Charge', udi_di: 'Gerätekennung',
  maker_code: 'Hersteller', fixation_intended: 'Verankerung', bearing_material: 'Gleitfläche', first_used: 'Zuerst', last_used: 'Zuletzt',
  revision_id: 'Folgenummer', revision_date: 'Datum Folgeeingriff', kind: 'Art', reasons: 'Gründe', components_removed: 'Entfernt', death_date: 'Verstorben am',
};

/** Codes of that registry for the codes of the data dictionary; those left out are written as they are. */
export const foreignCodes: Readonly<Record<string, string>> = {
  left: 'L', right: 'R', female: 'W', male: 'M',
  anatomic_total: 'Anatomisch', reverse_total: 'Invers', hemi: 'Hemi', resurfacing: 'Oberflächenersatz',
  osteoarthritis: 'Arthrose', cuff_arthropathy: 'Defektarthropathie', acute_fracture: 'Fraktur', fracture_sequelae: 'Frakturfolge',
  cemented: 'zementiert', uncemented: 'zementfrei', none: 'keine',
  glenoid: 'Pfanne', humeral_stem: 'Schaft', humeral_head: 'Kopf', glenosphere: 'Glenosphäre', humeral_insert: 'Einsatz',
  all_poly_keeled: 'PE Kiel', all_poly_pegged: 'PE Zapfen', major: 'Wechsel', minor: 'Teilwechsel', reoperation: 'ohne Wechsel',
  infection: 'Infekt', glenoid_loosening: 'Lockerung Pfanne', humeral_loosening: 'Lockerung Schaft', pain: 'Schmerz',
};
