import { useRef, useState } from 'react';
import type { LiveSite } from '../../domain/wire/live.ts';
import { formatClock } from '../format/clock.ts';
import { useCloseElsewhere } from '../hooks/use-close-elsewhere.ts';
import { useSeat } from '../hooks/desk-context.ts';
import type { Role } from '../api/session.ts';
import { DrillPanel } from './DrillPanel.tsx';

/** Who may play a drill; the server has the last word. */
const TRAINERS: readonly Role[] = ['supervisor', 'safety-officer', 'administrator'];

/** Over every screen of a training site: that nothing here is real, what is being practised, and for a trainer the way to the drills. */
export function TrainingBand({ site }: { site: LiveSite }) {
  const { words, session } = useSeat();
  const [isOpen, setOpen] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  useCloseElsewhere(box, () => setOpen(false));
  const { drill } = site;
  return (
    <div className="band band--demo training" data-testid="training-band" ref={box}>
      <p role="note">
        <strong>{words.drill.band}</strong>{' '}
        <span>{drill ? words.drill.running(drill.scenario, drill.startedBy, formatClock(drill.startedAtMs, site.zone, false)) : words.drill.none}</span>
      </p>
      {TRAINERS.includes(session.role) ? (
        <button type="button" className="action training__open" aria-expanded={isOpen} data-testid="drill-open" onClick={() => setOpen(!isOpen)}>
          {words.drill.open}
        </button>
      ) : null}
      {isOpen ? <DrillPanel site={site} onClose={() => setOpen(false)} /> : null}
    </div>
  );
}
