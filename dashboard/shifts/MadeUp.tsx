import { useSeat } from '../hooks/desk-context.ts';

/** A drill or a replay says so in full: nobody may take it for what happened. */
export function MadeUp({ drill, replay }: { drill: boolean; replay: boolean }) {
  const { words } = useSeat();
  if (!drill && !replay) return null;
  return (
    <span className="made-up" data-testid="made-up">
      {[replay ? words.shifts.replay : null, drill ? words.shifts.drill : null].filter((word) => word !== null).join(', ')}
    </span>
  );
}

/** Over the whole width of a shift that did not happen as it looks. */
export function MadeUpBand({ drill, replay }: { drill: boolean; replay: boolean }) {
  const { words } = useSeat();
  if (!drill && !replay) return null;
  return (
    <p className="band band--demo" data-testid="made-up-band">
      <strong>{replay ? words.shifts.replay : words.shifts.drill}</strong> {replay ? words.shifts.replayText : words.shifts.drillText}
    </p>
  );
}
