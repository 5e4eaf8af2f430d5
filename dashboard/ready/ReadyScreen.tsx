import { useState } from 'react';
import { SEQUENCES, type Sequence } from '../../domain/shift/readiness/step.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { routeHref } from '../page/route.ts';
import type { ScreenProps } from '../page/screen-props.ts';
import { Decision } from './Decision.tsx';
import { Happened } from './Happened.tsx';
import { History } from './History.tsx';
import { Result } from './Result.tsx';
import { StepList } from './StepList.tsx';
import { useReadiness } from './use-readiness.ts';
import './ready.css';

export interface ReadyScreenProps extends ScreenProps {
  readonly rest: readonly string[];
}

/** The check before blasting of one rig: what is in the way, the steps along the line, what happened. */
export function ReadyScreen({ site, rest, isLive }: ReadyScreenProps) {
  const { words } = useSeat();
  const [list, setList] = useState<Sequence>('before');
  const rig = site.rigs.find(({ id }) => id === rest[0]) ?? site.rigs[0];
  const { check, failure, refresh } = useReadiness(rig?.id ?? '');
  if (!rig) return <p className="sheet__empty">{words.noRigs}</p>;
  const steps = check?.steps.filter(({ sequence }) => sequence === list) ?? [];
  return (
    <main className="sheet ready" data-testid="ready-screen">
      <nav className="tabs ready__rigs" aria-label={words.rigSwitch}>
        {site.rigs.map((one) => (
          <a key={one.id} className="tabs__tab" href={routeHref('ready', {}, [one.id])} aria-current={one === rig ? 'page' : undefined}>
            {one.name}
          </a>
        ))}
      </nav>
      {check === null ? (
        <p className="sheet__empty" role="status">
          {failure === null ? words.ready.loading : words.ready.missing(words.problem(failure))}
        </p>
      ) : (
        <div className="ready__deck">
          <Result check={check} rig={rig} zone={site.zone} isLive={isLive && failure === null} />
          <section className="ready__list" aria-label={words.ready.sequences[list]}>
            <nav className="ready__lists" aria-label={words.ready.lists}>
              {SEQUENCES.map((one) => (
                <button key={one} type="button" className="ready__tab" data-testid={`list-${one}`} aria-pressed={one === list} onClick={() => setList(one)}>
                  {words.ready.sequences[one]}
                </button>
              ))}
            </nav>
            <StepList key={`${rig.id} ${list}`} steps={steps} all={check.steps} check={check} rig={rig} zone={site.zone} onDone={refresh} />
            {list === 'before' ? <Decision check={check} rig={rig} zone={site.zone} isLive={isLive && failure === null} onDone={refresh} /> : null}
          </section>
          <aside className="ready__aside">
            <Happened rig={rig.id} events={check.events} list={list} hasShift={check.shift !== null} onDone={refresh} />
            <a className="action action--link action--quiet" data-testid="to-rig" href={routeHref('rig', {}, [rig.id])}>
              {words.ready.entries}
            </a>
            <History history={check.history} zone={site.zone} />
            <p className="soft">{words.ready.note2}</p>
          </aside>
        </div>
      )}
    </main>
  );
}
