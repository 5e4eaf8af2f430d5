import type { WireReadiness } from '../../domain/wire/readiness.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';

export function History({ history, zone }: { history: WireReadiness['history']; zone: string }) {
  const { words } = useSeat();
  return (
    <section className="ready__history" aria-label={words.ready.history}>
      <h2>{words.ready.history}</h2>
      {history.length === 0 ? <p className="soft">{words.ready.noHistory}</p> : null}
      <ol tabIndex={0}>
        {history.map((one, index) => (
          <li key={`${one.at} ${history.length - index}`}>
            <time dateTime={one.at}>{formatClock(Date.parse(one.at), zone, false)}</time> {one.text}
          </li>
        ))}
      </ol>
    </section>
  );
}
