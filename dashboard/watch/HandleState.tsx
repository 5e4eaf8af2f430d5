import type { LivePoint } from '../../domain/wire/live.ts';
import { formatClock } from '../format/clock.ts';
import { formatNumber } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';

export interface HandleStateProps {
  readonly rig: string;
  readonly zone: string;
  readonly handle: LivePoint | undefined;
  readonly blasting: LivePoint | undefined;
  /** Time from the last release to the nozzle's stop, s. */
  readonly stop: LivePoint | undefined;
}

/** Handle and blasting as words. A running nozzle is a state, not an alarm: ink, never a colour. */
export function HandleState({ rig, zone, handle, blasting, stop }: HandleStateProps) {
  const { words } = useSeat();
  const held = known(handle);
  const isBlasting = known(blasting);
  return (
    <div className="handle" data-testid={`${rig}-handle`} data-held={held ?? 'unknown'} data-blasting={isBlasting ?? 'unknown'}>
      <div className="reading__label handle__label">
        {words.air.handle}
        <span className="handle__blasting" data-on={isBlasting === true || undefined}>
          {isBlasting === null ? words.air.blastingUnknown : isBlasting ? words.air.blasting : words.air.notBlasting}
        </span>
      </div>
      <div className="handle__state">
        <svg className="handle__mark" viewBox="0 0 40 24" aria-hidden="true" focusable="false">
          <path className="handle__grip" d="M2 18h36" />
          <path d={held === true ? 'M6 18 34 13' : 'M6 18 32 3'} />
        </svg>
        {held === null ? words.air.cantSay : held ? words.air.held : words.air.released}
      </div>
      {held === null || stop?.quality !== 'good' || stop.value === null || stop.atMs === null ? null : (
        <div className="reading__notes" data-testid={`${rig}-tried`}>
          {words.air.tried(formatClock(stop.atMs, zone, false), formatNumber(stop.value, 1))}
        </div>
      )}
      {held === null ? <div className="reading__notes">{handle?.reason ? words.reasons[handle.reason] : words.air.noHandleSignal}</div> : null}
    </div>
  );
}

function known(point: LivePoint | undefined): boolean | null {
  return point?.quality === 'good' && point.value !== null ? point.value > 0 : null;
}
