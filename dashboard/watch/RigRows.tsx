import type { LiveAlarm, LiveRig } from '../../domain/wire/live.ts';
import { isCausePresent } from '../alarms/alarm-state.ts';
import { describePoint } from '../format/describe-point.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useRigPoint } from '../hooks/use-rig-point.ts';
import { LimitScale } from '../ui/LimitScale.tsx';
import { PriorityMark } from '../ui/PriorityMark.tsx';

export interface RigRowsProps {
  readonly rigs: readonly LiveRig[];
  readonly chosen: string | undefined;
  readonly alarmsOf: (rig: string) => readonly LiveAlarm[];
  readonly onChoose: (rig: string) => void;
}

/** More rigs than fit large: each is one row, its air first, in an order that never changes; the chosen one stands large below. */
export function RigRows({ rigs, chosen, alarmsOf, onChoose }: RigRowsProps) {
  const { words } = useSeat();
  return (
    <ul className="rig-rows" aria-label={words.rigRows}>
      {rigs.map((rig) => (
        <RigRow key={rig.id} rig={rig} isChosen={rig.id === chosen} alarms={alarmsOf(rig.id)} onChoose={() => onChoose(rig.id)} />
      ))}
    </ul>
  );
}

function RigRow({ rig, isChosen, alarms, onChoose }: { rig: LiveRig; isChosen: boolean; alarms: readonly LiveAlarm[]; onChoose: () => void }) {
  const { words } = useSeat();
  const worst = alarms[0];
  return (
    <li className="rig-row" data-testid={`row-${rig.id}`} data-chosen={isChosen || undefined} data-priority={worst?.priority}>
      <button type="button" className="rig-row__rig" aria-pressed={isChosen} aria-label={words.openRig(rig.name)} onClick={onChoose}>
        {worst ? <PriorityMark priority={worst.priority} /> : null} {rig.name}
      </button>
      <RowValue rig={rig} alarms={alarms} id="breathing-air-co" label={words.air.co} top={20} />
      <RowValue rig={rig} alarms={alarms} id="breathing-air-pressure" label={words.air.pressure} top={125} />
      <RowValue rig={rig} alarms={alarms} id="supply-pressure" label={words.line.machine} top={140} />
      <RowValue rig={rig} alarms={alarms} id="nozzle-pressure" label={words.line.nozzle} top={140} />
      <RowValue rig={rig} alarms={alarms} id="steel-margin" label={words.climate.steelMargin} top={10} />
      <RowState rig={rig} />
    </li>
  );
}

function RowValue({ rig, alarms, id, label, top }: { rig: LiveRig; alarms: readonly LiveAlarm[]; id: string; label: string; top: number }) {
  const { words } = useSeat();
  const point = useRigPoint(rig, id);
  const view = describePoint(point, useReader());
  const priority = alarms.find((a) => isCausePresent(a.state) && a.owner === rig.id && a.point === id)?.priority;
  return (
    <div className="rig-row__value" data-quality={view.isGood ? 'good' : 'not-good'} data-priority={priority} data-testid={`row-${rig.id}-${id}`}>
      <span className="rig-row__label">{label}</span>
      <span className="rig-row__figure">
        {priority ? <PriorityMark priority={priority} /> : null}
        <strong>{view.number === null ? words.noValue : view.isGood ? view.number : <s>{view.number}</s>}</strong> {view.number === null ? '' : view.symbol}
      </span>
      <span className="rig-row__note">{[view.reason, view.age, view.shortMargin].filter((note) => note !== null).join(', ')}</span>
      <LimitScale point={point} top={top} />
    </div>
  );
}

/** Who breathes from the panel, and whether air flows at the nozzle. */
function RowState({ rig }: { rig: LiveRig }) {
  const { words } = useSeat();
  const blasting = useRigPoint(rig, 'blasting');
  const isKnown = blasting?.quality === 'good' && blasting.value !== null;
  return (
    <div className="rig-row__state">
      <span className="handle__blasting" data-on={(isKnown && blasting.value > 0) || undefined}>
        {isKnown ? (blasting.value > 0 ? words.air.blasting : words.air.notBlasting) : words.air.blastingUnknown}
      </span>
      <span className="rig-row__who">{rig.underHood.map((who) => who.name).join(', ')}</span>
    </div>
  );
}
