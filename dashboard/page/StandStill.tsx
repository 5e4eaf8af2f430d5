import { useEffect, useRef } from 'react';
import { useSeat } from '../hooks/desk-context.ts';

/** Without a tick for so long, the page itself stands still: six ticks missed. */
const STANDS_STILL_MS = 3_000;

/**
 * The page's own deadman. Whoever would strike old numbers through is script, and script can hang, be frozen, or wake up later than the
 * screen. So a veil comes up by itself, drawn by the compositor, unless each tick of a running page holds it down.
 */
export function StandStill() {
  const { desk, words } = useSeat();
  const veil = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const rise = veil.current?.animate(
      [{ opacity: 0 }, { opacity: 0, offset: 0.999 }, { opacity: 1 }],
      { id: 'stand-still', duration: STANDS_STILL_MS, fill: 'forwards' },
    );
    const unsubscribe = desk.tick.subscribe(() => {
      if (rise) rise.currentTime = 0;
    });
    return () => {
      unsubscribe();
      rise?.cancel();
    };
  }, [desk]);
  return (
    <div ref={veil} className="stand-still" data-testid="stand-still" aria-hidden="true">
      <p className="stand-still__text">
        <strong>{words.link.standsStill}</strong> {words.link.standsStillText}
      </p>
    </div>
  );
}
