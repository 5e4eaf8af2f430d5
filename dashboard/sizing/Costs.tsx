import { type Cost, type CostKind, changed } from '../../domain/air/sizing/costs.ts';
import type { SetUp } from '../../domain/air/sizing/set-up.ts';
import type { UnitSystem } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import type { Words } from '../words/en.ts';
import { writeField } from './field-format.ts';
import { figure } from './say-sized.ts';

const KINDS: readonly CostKind[] = ['worn', 'longer', 'rig'];

export interface CostsProps {
  readonly setUp: SetUp;
  readonly costs: readonly Cost[];
  /** Which set-up, where there are two. */
  readonly label: string | null;
}

/** In plain words: what a worn nozzle, more hose and one more rig take in pressure, air and work. */
export function Costs({ setUp, costs, label }: CostsProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.sizing;
  const titles = units === 'us' ? told.costTitles : told.costTitlesSi;
  const more = (kind: CostKind): string => {
    const then = changed(setUp, kind);
    if (kind === 'worn') return told.costMore.worn(writeField('nozzleBore', then.nozzleBore, units));
    return kind === 'longer' ? told.costMore.longer(writeField('blastLength', then.blastLength, units)) : told.costMore.rig(then.rigs);
  };
  return (
    <section className="costs" aria-label={told.costs} data-testid="costs">
      <h3>
        {told.costs} {label === null ? null : <span className="soft">{label}</span>}
      </h3>
      <ul>
        {KINDS.map((kind) => {
          const cost = costs.find((one) => one.kind === kind);
          return (
            <li key={kind} data-testid={`cost-${kind}`}>
              <h4>
                {titles[kind]} <span className="soft">{more(kind)}</span>
              </h4>
              <p>{cost ? sayCost(cost, units, words) : told.impossible}</p>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function sayCost({ pressure, air, work, after }: Cost, units: UnitSystem, words: Words): string {
  const told = words.sizing;
  const amount = (quantity: 'pressure' | 'flow' | 'share', si: number): string | null => {
    const { value, decimals, text } = figure(quantity, Math.abs(si), units);
    return Number(value.toFixed(decimals)) === 0 ? null : text;
  };
  const [psi, flow, share] = [amount('pressure', pressure), amount('flow', air), amount('share', work)];
  return [
    psi === null ? told.samePressure : pressure > 0 ? told.loses(psi) : told.gains(psi),
    flow === null ? told.sameAir : air > 0 ? told.moreAir(flow) : told.lessAir(flow),
    share === null ? told.sameWork : work > 0 ? told.lessWork(share) : told.moreWork(share),
    told.loadAfter(figure('share', after.load, units).text) + (after.sags ? `, ${told.sagsAfter}` : ''),
  ].join('; ');
}
