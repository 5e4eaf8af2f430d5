import { useSeat } from '../../hooks/desk-context.ts';
import { Select } from '../../ui/Select.tsx';
import { Text } from '../parts.tsx';
import type { PlanDraft, TurnDraft } from './plan-draft.ts';
import { daysText } from './plan-words.ts';

export interface RotaFieldsProps {
  readonly rotas: PlanDraft['rotas'];
  readonly names: readonly string[];
  readonly onChange: (rotas: PlanDraft['rotas']) => void;
}

const DAYS = ['daily', 'mon-fri', 'sat-sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];

/** Who is on call when. A turn may run past midnight. */
export function RotaFields({ rotas, names, onChange }: RotaFieldsProps) {
  const { words } = useSeat();
  const told = words.people.messages;
  const change = (index: number, part: Partial<PlanDraft['rotas'][number]>): void => onChange(rotas.map((rota, at) => (at === index ? { ...rota, ...part } : rota)));
  const turn = (index: number, turns: readonly TurnDraft[], place: number, part: Partial<TurnDraft>): void => change(index, { turns: turns.map((one, at) => (at === place ? { ...one, ...part } : one)) });
  const fresh: TurnDraft = { who: names[0] ?? '', days: 'daily', from: '06:00', to: '18:00' };
  return (
    <fieldset className="plan-fields" data-testid="rotas">
      <legend>{told.rotas}</legend>
      {rotas.map(({ name, turns }, index) => (
        <div key={index} className="plan-fields__rota">
          <Text label={told.rotaName} maxLength={32} value={name} onChange={(next) => change(index, { name: next })} />
          {turns.map((one, place) => (
            <div key={place} className="plan-fields__turn">
              <Select label={told.who} value={one.who} options={[...new Set([...names, one.who])].map((who) => [who, who])} onChange={(who) => turn(index, turns, place, { who })} />
              <Select label={told.daysField} value={one.days} options={[...new Set([...DAYS, one.days])].map((days) => [days, daysText(days, told)])} onChange={(days) => turn(index, turns, place, { days })} />
              <Text label={told.from} type="time" value={one.from} onChange={(from) => turn(index, turns, place, { from })} />
              <Text label={told.to} type="time" value={one.to} onChange={(to) => turn(index, turns, place, { to })} />
              <button type="button" className="action action--quiet" aria-label={`${name}: ${told.lessTurn(place + 1)}`} onClick={() => change(index, { turns: turns.filter((_, at) => at !== place) })}>
                {told.remove}
              </button>
            </div>
          ))}
          <button type="button" className="action action--quiet" onClick={() => change(index, { turns: [...turns, fresh] })}>
            {told.addTurn}
          </button>
        </div>
      ))}
      <button type="button" className="action action--quiet" data-testid="add-rota" onClick={() => onChange([...rotas, { name: '', turns: [fresh] }])}>
        {told.addRota}
      </button>
    </fieldset>
  );
}
