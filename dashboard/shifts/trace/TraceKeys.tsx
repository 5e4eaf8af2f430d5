import { ZONE_CHOICES } from '../../store/preferences.ts';
import type { UnitSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Choices } from '../../ui/Choices.tsx';
import { type Stretch, pan, zoom } from './stretch.ts';

export interface TraceKeysProps {
  readonly stretch: Stretch;
  readonly bounds: Stretch;
  readonly cursorMs: number | null;
  readonly onStretch: (stretch: Stretch) => void;
  readonly onRenew: (() => void) | null;
  readonly onNote: (() => void) | null;
  /** Null where no time of day is shown. */
  readonly siteZone: string | null;
}

/** All that gestures do, as keys for gloves; and in which units and whose time the trace is read. */
export function TraceKeys({ stretch, bounds, cursorMs, onStretch, onRenew, onNote, siteZone }: TraceKeysProps) {
  const { desk, words } = useSeat();
  const preferences = useStore(desk.preferences);
  const told = words.shifts.trace;
  const length = stretch.toMs - stretch.fromMs;
  const about = cursorMs ?? stretch.fromMs + length / 2;
  const keys = [
    { id: 'earlier', label: '◀', name: told.earlier, to: pan(stretch, bounds, -length / 2) },
    { id: 'later', label: '▶', name: told.later, to: pan(stretch, bounds, length / 2) },
    { id: 'closer', label: '+', name: told.closer, to: zoom(stretch, bounds, 0.5, about) },
    { id: 'wider', label: '−', name: told.wider, to: zoom(stretch, bounds, 2, about) },
  ];
  return (
    <div className="viewer__keys">
      <div className="viewer__moves" role="group" aria-label={told.moves}>
        {keys.map((key) => (
          <button key={key.id} type="button" className="action action--key" data-testid={`trace-${key.id}`} aria-label={key.name} onClick={() => onStretch(key.to)}>
            {key.label}
          </button>
        ))}
        <button type="button" className="action action--key" data-testid="trace-whole" onClick={() => onStretch(bounds)}>
          {told.whole}
        </button>
        {onRenew ? (
          <button type="button" className="action action--quiet" onClick={onRenew}>
            {told.renew}
          </button>
        ) : null}
        {onNote ? (
          <button type="button" className="action action--quiet" data-testid="note-here" onClick={onNote}>
            {told.noteHere}
          </button>
        ) : null}
      </div>
      {siteZone === null ? null : (
        <Choices
          legend={told.zone}
          name="trace-zone"
          chosen={preferences.zone}
          options={ZONE_CHOICES.map((zone) => [zone, zone === 'site' ? told.zones.site(siteZone) : told.zones[zone]])}
          onChoose={(zone) => desk.preferences.set({ ...preferences, zone: zone as (typeof ZONE_CHOICES)[number] })}
        />
      )}
      <Choices legend={words.settings.units} name="trace-units" chosen={preferences.units} options={(['us', 'si'] as const).map((units) => [units, words.settings[units]])} onChoose={(units) => desk.preferences.set({ ...preferences, units: units as UnitSystem })} />
    </div>
  );
}
