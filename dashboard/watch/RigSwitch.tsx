import type { LiveAlarm, LiveRig } from '../../domain/wire/live.ts';
import { describePoint } from '../format/describe-point.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useStore } from '../hooks/use-store.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { PriorityMark } from '../ui/PriorityMark.tsx';

export interface RigSwitchProps {
  readonly rigs: readonly LiveRig[];
  readonly chosen: string | undefined;
  /** Worst first. */
  readonly alarms: readonly LiveAlarm[];
  readonly onChoose: (rig: string) => void;
}

/** On a phone one rig fills the screen; the others' air and worst alarm stay in sight here. */
export function RigSwitch({ rigs, chosen, alarms, onChoose }: RigSwitchProps) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const reader = useReader();
  if (rigs.length < 2) return null;
  return (
    <nav className="rigs" aria-label={words.rigSwitch}>
      {rigs.map((rig) => {
        const co = describePoint(findRigPoint(points, rig, 'breathing-air-co'), reader);
        const worst = alarms.find((a) => a.rig === rig.id);
        return (
          <button key={rig.id} type="button" className="rigs__button" data-testid={`choose-${rig.id}`} aria-pressed={rig.id === chosen} onClick={() => onChoose(rig.id)}>
            {worst ? <PriorityMark priority={worst.priority} /> : null}
            <span className="rigs__name">{rig.name}</span>
            <span className="rigs__co" data-quality={co.isGood ? 'good' : 'not-good'}>
              CO {co.isGood ? `${co.number} ${co.symbol}` : co.reason}
            </span>
          </button>
        );
      })}
    </nav>
  );
}
