import { useState } from 'react';
import type { SetUp } from '../../domain/air/sizing/set-up.ts';
import type { LiveSite } from '../../domain/wire/live.ts';
import { mayAddToRecord } from '../api/session.ts';
import { putSetUp } from '../api/put-set-up.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { openStorage } from '../store/open-storage.ts';
import { writeField } from './field-format.ts';
import { readKept, withKept, writeKept } from './kept-set-ups.ts';

export interface KeptProps {
  readonly setUp: SetUp;
  readonly site: LiveSite | null;
  readonly onTake: (setUp: SetUp) => void;
}

/** Set-ups kept by name on this device, and this one put on a rig's open shift. */
export function Kept({ setUp, site, onTake }: KeptProps) {
  const { desk, words, session } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.sizing;
  const [list, setList] = useState(() => readKept(openStorage()));
  const [name, setName] = useState('');
  const [said, setSaid] = useState('');
  const save = (next: typeof list): void => {
    setList(next);
    setSaid(writeKept(openStorage(), next) ? '' : told.keptFull);
  };
  const open = site?.rigs.filter(({ shift }) => shift !== null) ?? [];
  const put = async (rig: string, shift: string): Promise<void> => {
    const answer = await putSetUp(shift, setUp, `${writeField('ratedFlow', setUp.ratedFlow, units)}, ${writeField('pressure', setUp.pressure, units)}`, units);
    setSaid(answer.ok ? told.putDone(rig) : told.putFailed(words.problem(answer.detail) || words.alarms.failedUnreachable));
  };
  return (
    <section className="kept" aria-label={told.kept} data-testid="kept">
      <h3>{told.kept}</h3>
      <form
        className="kept__new"
        onSubmit={(event) => {
          event.preventDefault();
          if (name.trim() === '') return;
          save(withKept(list, { name: name.trim(), setUp }));
          setName('');
        }}
      >
        <label className="tool__field">
          {told.keptName}
          <input value={name} maxLength={60} autoComplete="off" data-testid="keep-name" onChange={(event) => setName(event.target.value)} />
        </label>
        <button type="submit" className="action action--quiet" data-testid="keep">
          {told.keep}
        </button>
      </form>
      {list.length === 0 ? <p className="soft">{told.keptNone}</p> : null}
      <ul className="kept__list">
        {list.map((one) => (
          <li key={one.name}>
            <button type="button" className="kept__take" onClick={() => onTake(one.setUp)}>
              {told.take(one.name)}
            </button>
            <button type="button" className="kept__drop" aria-label={told.drop(one.name)} onClick={() => save(list.filter((other) => other !== one))}>
              ×
            </button>
          </li>
        ))}
      </ul>
      {site && mayAddToRecord(session.role) ? (
        <div className="kept__put">
          {open.length === 0 ? <p className="soft">{told.putNone}</p> : <p className="soft">{told.putWhat}</p>}
          <div className="kept__keys">
            {open.map((rig) => (
              <button key={rig.id} type="button" className="action action--quiet" data-testid={`put-${rig.id}`} onClick={() => void put(rig.name, rig.shift?.id ?? '')}>
                {told.put(rig.name)}
              </button>
            ))}
          </div>
        </div>
      ) : null}
      <p className="kept__said" role="status">
        {said}
      </p>
    </section>
  );
}
