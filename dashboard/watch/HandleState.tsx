import type { LivePoint } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';

/** Handle and blasting as words. A running nozzle is a state, not an alarm: ink, never a colour. */
export function HandleState({ rig, handle, blasting }: { rig: string; handle: LivePoint | undefined; blasting: LivePoint | undefined }) {
  const { words } = useSeat();
  const held = known(handle);
  const isBlasting = known(blasting);
  return (
    <div className="handle" data-testid={`${rig}-handle`} data-held={held ?? 'unknown'} data-blasting={isBlasting ?? 'unknown'}>
      <div className="reading__label">{words.air.handle}</div>
      <div className="handle__state">
        <svg className="handle__mark" viewBox="0 0 40 24" aria-hidden="true" focusable="false">
          <path className="handle__grip" d="M2 18h36" />
          <path d={held === true ? 'M6 18 34 13' : 'M6 18 32 3'} />
        </svg>
        {held === null ? words.air.cantSay : held ? words.air.held : words.air.released}
      </div>
      <div className="handle__blasting" data-on={isBlasting === true || undefined}>
        {isBlasting === null ? words.air.blastingUnknown : isBlasting ? words.air.blasting : words.air.notBlasting}
      </div>
      {held === null ? <div className="reading__notes">{handle?.reason ? words.reasons[handle.reason] : words.air.noHandleSignal}</div> : null}
    </div>
  );
}

function known(point: LivePoint | undefined): boolean | null {
  return point?.quality === 'good' && point.value !== null ? point.value > 0 : null;
}
