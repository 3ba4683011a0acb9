import type { TableName } from '../../contract/tables';

/** Letters and digits only, small, without accents: `OP-Datum` and `op datum` are one name. */
export const plain = (text: string): string => text.normalize('NFD').replace(/[\u0300-\u036f]/g, '').toLowerCase()
  .replaceAll('ß', 'ss').replaceAll('ø', 'o').replaceAll('æ', 'ae').replaceAll('œ', 'oe').replace(/[^a-z0-9]/g, '');

type Synonyms = Readonly<Record<string, string>>; // field → names in their plain form, with spaces between

const shared: Synonyms = {
  procedure_id: 'procedureid procid operationid opid opnr opnumber operation operationnumber surgeryid caseid caseno casenumber primaryid primary eingriff eingriffid eingriffsnummer fallnummer fallnr fallid operationsnummer operationsid operasjonsid idintervention numintervention idcirugia idoperacion operationkey procedurekey recordid',
  patient_id: 'patientid patid patient pid subject subjectid pseudonym patientpseudonym patientkey patientno patientnumber idpatient patientennummer patientnr patnr idpaciente paciente pasientid pasient personid person',
  joint: 'joint gelenk articulation articulacion led ledd',
  side: 'side laterality seite cote lado sida lateralite bodyside opside operatedside korperseite sideoperated leftright',
};

/**
 * What columns are called in exports of hospitals, registries and studies, in English, German, French, Spanish and the languages of the
 * north. Common practice, no source.
 */
export const synonyms: Readonly<Record<Exclude<TableName, 'registry'>, Synonyms>> = {
  procedures: {
    ...shared,
    procedure_date: 'proceduredate procdate opdate dateofoperation dateofsurgery dateofprocedure surgerydate operationdate implantdate implantationdate dateofimplantation primarydate dateprimary indexdate dos opdatum operationsdatum datumop datumoperation eingriffsdatum datumeingriff implantationsdatum dateintervention dateoperation dateoperatoire fechacirugia fechaintervencion fechaoperacion operationsdag operasjonsdato operationsdato',
    class: 'class procedureclass proceduretype typeofprocedure typeofreplacement typeofarthroplasty typeofprosthesis prosthesistype prosthesis arthroplastytype implanttype verfahren prothesentyp prothesenart typeprothese typedeprothese tipoprotesis tipodeprotesis protestyp protesetype replacement',
    indication: 'indication diagnosis maindiagnosis primarydiagnosis diagnose hauptdiagnose diagnostic diagnostico indikation indicacion indikasjon indicationforsurgery',
    age_years: 'ageyears age ageatsurgery ageatoperation ageatprocedure ageatop alter altersjahre alterbeiop edad alder',
    sex: 'sex gender geschlecht sexe sexo genero kon kjonn koen sukupuoli',
    asa_grade: 'asagrade asa asaclass asascore asaklasse asaclassification scoreasa',
    bmi: 'bmi bodymassindex imc kmi',
    approach: 'approach surgicalapproach zugang zugangsweg voiedabord voie abordaje tilgang snitt',
    proximal_fixation: 'proximalfixation fixationglenoid glenoidfixation verankerungglenoid verankerungpfanne fixationcup cupfixation acetabularfixation',
    distal_fixation: 'distalfixation fixationhumerus humeralfixation humerusfixation stemfixation fixationstem verankerungschaft verankerunghumerus fixationtige',
    hospital_id: 'hospitalid hospital unit unitid clinic clinicid klinik klinikum krankenhaus hopital etablissement site siteid centre center centreid centerid department hospitalcode sjukhus sykehus sygehus sairaala',
    surgeon_id: 'surgeonid surgeon surgeoncode operator operateur operateurid chirurg chirurgien cirujano consultant kirurg operator1',
    region: 'region bundesland land county state province canton kanton lan fylke',
    follow_up_start: 'followupstart followupfrom startoffollowup beobachtetab beobachtungsbeginn registeredfrom entrydate',
    follow_up_end: 'followupend followupuntil endoffollowup lastfollowup lastfollowupdate dateoflastfollowup datelastfollowup lastcontact lastseen censordate censoringdate beobachtetbis letztekontrolle letzterkontakt datumletztekontrolle datedernieresnouvelles ultimocontrol sistekontroll emigrationdate',
  },
  components: {
    ...shared,
    role: 'role part component componenttype componentrole teil komponente composant componente komponent implantpart',
    model_code: 'modelcode model modell modele modelo articlenumber articleno article artikelnummer artikelnr artikel refnumber reference ref catalognumber cataloguenumber catalogno productcode product productname brand implant implantname prosthesisname',
    design_class: 'designclass design bauart designtype conception diseno utforming',
    material: 'material werkstoff materiau materiale matiere',
    size: 'size grosse groesse taille talla storrelse storlek',
    lot: 'lot lotnumber lotno lotnr batch batchnumber charge chargennummer losnummer',
    udi_di: 'udidi udi deviceidentifier geratekennung geraetekennung gtin',
  },
  models: {
    model_code: 'modelcode model modell modele modelo articlenumber articleno article artikelnummer artikelnr artikel refnumber reference ref catalognumber cataloguenumber productcode product',
    maker_code: 'makercode maker manufacturer hersteller fabricant fabricante tillverkare produsent producer company',
    role: 'role part component componenttype componentrole teil komponente composant componente komponent',
    design_class: 'designclass design bauart designtype conception diseno utforming',
    fixation_intended: 'fixationintended intendedfixation fixation verankerung fijacion',
    bearing_material: 'bearingmaterial bearing gleitflache gleitpaarung material werkstoff',
    first_used: 'firstused firstuse firstimplanted zuerst zuerstverwendet introduced launchdate',
    last_used: 'lastused lastuse lastimplanted zuletzt zuletztverwendet withdrawn discontinued',
  },
  revisions: {
    ...shared,
    revision_id: 'revisionid revid revision revisionno revisionnumber reoperationid reoperation folgenummer revisionsnummer idrevision revisionkey',
    revision_date: 'revisiondate revdate dateofrevision daterevision datumrevision revisionsdatum reoperationdate dateofreoperation datumfolgeeingriff datumreoperation reopdate daterepr fecharevision revisjonsdato',
    kind: 'kind revisionkind revisiontype typeofrevision reoperationtype art revisionsart artderrevision typerevision tiporevision',
    reasons: 'reasons reason revisionreason reasonforrevision reasonsforrevision cause causeofrevision indicationforrevision revisionindication grund grunde gruende revisionsgrund revisionsursache motif motifrevision motivo orsak arsak',
    components_removed: 'componentsremoved componentsrevised partsremoved partsrevised removed entfernt entferntekomponenten explanted composantsretires',
  },
  deaths: {
    patient_id: shared['patient_id'] ?? '',
    death_date: 'deathdate dateofdeath datedeath died diedon verstorbenam sterbedatum todesdatum datedeces datededeces fechadefuncion fechamuerte dodsdato dodsdatum dod avliden',
  },
  followups: {
    procedure_id: shared['procedure_id'] ?? '',
    visit: 'visit visitwindow visitname kontrolle besuch controle',
    visit_date: 'visitdate dateofvisit followupdate kontrolldatum datevisite',
    pain: 'pain painscore vas schmerz douleur',
    flexion_deg: 'flexiondeg flexion forwardflexion elevation',
    external_rotation_deg: 'externalrotationdeg externalrotation aussenrotation',
    score_total: 'scoretotal score totalscore',
  },
};

/** What files are called that hold one table. */
export const fileNames: Readonly<Record<Exclude<TableName, 'registry'>, RegExp>> = {
  procedures: /procedure|primar|operation|surger|ersteingriff|eingriff|intervention|implantation|cirug/,
  components: /component|implant(?!ation)|part|komponent|prosthes/,
  models: /model|catalog|artikel|product|device/,
  revisions: /revis|reop|folgeeingriff|wechsel|reintervention/,
  deaths: /death|dead|mortal|sterbe|verstorb|deces|dod/,
  followups: /follow|visit|kontroll|prom|score/,
};

/** How parts of a joint are called in names of columns of a wide file, longest first. */
export const roleNames: readonly { readonly name: string; readonly role: string }[] = [
  ['glenosphere', 'glenosphere'], ['glenosphare', 'glenosphere'], ['sphere', 'glenosphere'], ['glenoid', 'glenoid'], ['baseplate', 'glenoid'],
  ['humeralstem', 'humeral_stem'], ['humerusstem', 'humeral_stem'], ['humeralhead', 'humeral_head'], ['humeralinsert', 'humeral_insert'], ['humeralliner', 'humeral_insert'],
  ['acetabularcup', 'acetabular_cup'], ['acetabularliner', 'acetabular_liner'], ['femoralstem', 'femoral_stem'], ['femoralhead', 'femoral_head'],
  ['kneefemoral', 'knee_femoral'], ['kneetibial', 'knee_tibial'], ['kneeinsert', 'knee_insert'], ['tibial', 'knee_tibial'], ['patella', 'patella'], ['cup', 'acetabular_cup'],
].map(([name = '', role = '']) => ({ name, role })).sort((a, b) => b.name.length - a.name.length);
