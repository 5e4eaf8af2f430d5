import { useDeferredValue, useMemo, useState } from 'react';
import { costsOf } from '../../domain/air/sizing/costs.ts';
import { type SetUp, USUAL_SET_UP } from '../../domain/air/sizing/set-up.ts';
import type { LiveSite } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { Choices } from '../ui/Choices.tsx';
import { Costs } from './Costs.tsx';
import { Curves } from './Curves.tsx';
import { Kept } from './Kept.tsx';
import { LineSketch } from './LineSketch.tsx';
import { PartFields } from './PartFields.tsx';
import { Results } from './Results.tsx';
import { trySizing } from './try-sizing.ts';
import './sizing.css';

type Name = 'a' | 'b';

/** What a set-up of the line gives, reckoned in the page: the line itself is what is set, beside a second one to compare with. */
export function SizingScreen({ site }: { site: LiveSite | null }) {
  const { words } = useSeat();
  const told = words.sizing;
  const [a, setA] = useState<SetUp>(USUAL_SET_UP);
  const [b, setB] = useState<SetUp | null>(null);
  const [name, setName] = useState<Name>('a');
  const edited = name === 'b' && b ? b : a;
  const change = (next: SetUp): void => (name === 'b' && b ? setB(next) : setA(next));
  // Sliders move at once; what follows from them may come a frame later.
  const [laterA, laterB] = [useDeferredValue(a), useDeferredValue(b)];
  const sizedA = useMemo(() => trySizing(laterA), [laterA]);
  const sizedB = useMemo(() => (laterB ? trySizing(laterB) : null), [laterB]);
  const sizedEdited = name === 'b' && laterB ? sizedB : sizedA;
  const later = name === 'b' && laterB ? laterB : laterA;
  const costs = useMemo(() => (sizedEdited ? costsOf(later, sizedEdited) : []), [later, sizedEdited]);
  return (
    <main className="sheet sizing" data-testid="sizing-screen">
      <header className="sizing__head">
        <div>
          <h2 className="sizing__title">{told.region}</h2>
          <p className="soft">{told.lead}</p>
        </div>
        <div className="sizing__which">
          {b === null ? (
            <button
              type="button"
              className="action action--quiet"
              data-testid="compare"
              onClick={() => {
                setB(a);
                setName('b');
              }}
            >
              {told.compare}
            </button>
          ) : (
            <>
              <Choices legend={told.edit} name="set-up" chosen={name} options={[['a', `${told.setUp} ${told.names.a}`], ['b', `${told.setUp} ${told.names.b}`]]} onChoose={(chosen) => setName(chosen as Name)} />
              <button type="button" className="action action--quiet" data-testid="copy" onClick={() => setB(a)}>
                {told.copy}
              </button>
              <button
                type="button"
                className="action action--quiet"
                data-testid="single"
                onClick={() => {
                  setB(null);
                  setName('a');
                }}
              >
                {told.single}
              </button>
            </>
          )}
        </div>
      </header>
      <LineSketch a={sizedA} b={sizedB} edited={name} />
      <PartFields setUp={edited} onChange={change} />
      <div className="sizing__below">
        <Results a={sizedA} b={sizedB} isComparing={laterB !== null} />
        <Costs setUp={later} costs={costs} label={laterB === null ? null : `${told.setUp} ${told.names[name]}`} />
      </div>
      <Curves a={laterA} b={laterB} />
      <div className="sizing__below">
        <Kept setUp={edited} site={site} onTake={change} />
        <section className="sizing__assumed" aria-label={told.assumed}>
          <h3>{told.assumed}</h3>
          <ul>
            {told.assumptions.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
          <p>
            <strong>{told.advice}</strong>
          </p>
        </section>
      </div>
    </main>
  );
}
