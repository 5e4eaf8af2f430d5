import { useState } from 'react';
import type { Arriving } from '../../api/settings.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Select } from '../../ui/Select.tsx';
import { Picker } from '../Picker.tsx';
import { useDraft } from '../use-settings.ts';
import { type PointOwner, isMapped, kindsOf } from './owners.ts';
import { pickable, sourceOf } from './source-of.ts';

/** Says what a topic is: whose, which point, and which field of the message where there are several. */
export function MapTopic({ heard, owners, onTaken }: { readonly heard: Arriving; readonly owners: readonly PointOwner[]; readonly onTaken: (point: string) => void }) {
  const { words } = useSeat();
  const told = words.settingsScreen.points;
  const draft = useDraft();
  const [ownerId, setOwnerId] = useState(owners[0]?.id ?? '');
  const [point, setPoint] = useState('');
  const fields = pickable(heard);
  const [field, setField] = useState(fields[0]?.at ?? '');
  const [isMissing, setMissing] = useState(false);
  const owner = owners.find(({ id }) => id === ownerId) ?? owners[0];
  if (!owner) return null;
  const take = (): void => {
    setMissing(point === '');
    if (point === '') return;
    draft.set([...owner.path, point], sourceOf(heard, field));
    onTaken(`${owner.id}/${point}`);
  };
  const kinds = kindsOf(owner).filter(({ id }) => !isMapped(draft.document, owner, id));
  return (
    <div className="map" data-testid="map-topic">
      <Select
        label={told.owner}
        value={owner.id}
        options={owners.map(({ id, name }) => [id, name])}
        onChange={(id) => {
          setOwnerId(id);
          setPoint('');
        }}
      />
      <Picker key={owner.id} label={told.point} value={point} open={words.settingsScreen.openList} testId="map-point" options={kinds.map(({ id, label }) => [id, words.told(label)])} onPick={setPoint} />
      {heard.form === 'sparkplug' ? (
        <label className="field">
          {words.settingsScreen.label('metric')}
          <input value={field} autoComplete="off" onChange={(event) => setField(event.target.value)} />
        </label>
      ) : fields.length > 0 ? (
        <Picker label={told.field} value={field} open={words.settingsScreen.openList} testId="map-field" options={fields.map(({ at, value }) => [at, at, value])} onPick={setField} />
      ) : null}
      <button type="button" className="action" data-testid="take-in" onClick={take}>
        {told.takeIn}
      </button>
      <p role="alert">{isMissing ? told.pickFirst : ''}</p>
    </div>
  );
}
