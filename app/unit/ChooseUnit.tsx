'use client';
import { useState } from 'react';
import type { ChosenUnit } from '../../lib/contract/unitsQuestion';
import { formatCount } from '../../lib/reports/format';
import { Checks } from '../parts/fields';
import { TextButton } from '../parts/TextButton';
import { UnitPicker } from '../parts/UnitPicker';
import { useChosenUnit } from '../shell/ChosenUnit';
import { useUnitsSession } from '../shell/UnitsSession';
import { useUnitNames } from './useUnitNames';
import './unit.css';

/** Which hospital or surgeon is looked at, and whether others have their names. None of it goes into the address. */
export function ChooseUnit() {
  const { unit, choose } = useChosenUnit();
  const { names, showNames } = useUnitsSession();
  const all = useUnitNames();
  const [within, setWithin] = useState<string | null>(null); // the hospital in which a surgeon is looked for
  if (all === null) return <p className="help">Looking up the units of the registry …</p>;
  if (all.hospitals.length + all.surgeons.length === 0) return <p className="nothing" role="status">No hospital and no surgeon is recorded in this extract: none can be looked at.</p>;
  const surgeon = unit?.kind === 'surgeon' ? unit.id : null;
  const ofSurgeon = all.surgeons.find(({ id }) => id === surgeon)?.hospitals;
  const hospital = unit?.kind === 'hospital' ? unit.id : within !== null && (surgeon === null || ofSurgeon?.includes(within) === true) ? within : ofSurgeon?.length === 1 ? ofSurgeon[0]! : null;
  const surgeons = hospital === null ? all.surgeons : all.surgeons.filter(({ hospitals }) => hospitals.includes(hospital));
  const pick = (kind: ChosenUnit['kind'], id: string | null) => { choose(id === null ? null : { kind, id, chosenPeers: [] }); };
  return (
    <section className="choose-unit" aria-label="The unit that is looked at">
      <div className="pickers">
        <UnitPicker
          key={`hospital ${hospital ?? ''}`} label="Hospital" options={all.hospitals} chosen={hospital} placeholder="Type or choose"
          onChoose={(id) => { setWithin(id); pick('hospital', id); }}
        />
        <UnitPicker
          key={`surgeon ${hospital ?? ''} ${surgeon ?? ''}`} label={hospital === null ? 'Surgeon' : 'Surgeon of this hospital'} options={surgeons} chosen={surgeon} placeholder="None"
          onChoose={(id) => { setWithin(hospital); if (id !== null) pick('surgeon', id); else pick('hospital', hospital); }}
        />
        {unit !== null && <TextButton onPress={() => { setWithin(null); choose(null); }}>Look at all units again</TextButton>}
        {unit?.kind === 'surgeon' && hospital !== null && <TextButton onPress={() => { pick('hospital', hospital); }}>Back to the hospital</TextButton>}
      </div>
      <label className="names">
        <input type="checkbox" checked={names} onChange={(event) => { showNames(event.currentTarget.checked); }} />
        Show the identifiers of peers, for this session
      </label>
      <p className="help">What is chosen here stays on this page and in no address. Each unit is shown as “a peer” unless identifiers are switched on; they are never printed or saved.</p>
    </section>
  );
}

/** Hospitals that one unit is held against. */
export function ChoosePeers() {
  const { unit, choose } = useChosenUnit();
  const all = useUnitNames();
  if (unit === null) return <p className="help">Choose a hospital or a surgeon first.</p>;
  if (all === null) return null;
  return (
    <Checks
      label="Hospitals" chosen={unit.chosenPeers} options={all.hospitals.filter(({ id }) => unit.kind !== 'hospital' || id !== unit.id).map(({ id, procedures }) => ({ key: id, label: id, note: formatCount(procedures) }))}
      onChange={(chosenPeers) => { choose({ ...unit, chosenPeers }); }}
    />
  );
}
