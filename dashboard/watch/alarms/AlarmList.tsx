import { useEffect, useRef } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { AlarmItem } from './AlarmItem.tsx';

export interface AlarmListProps {
  readonly alarms: readonly LiveAlarm[];
  readonly site: LiveSite;
  readonly onClose: () => void;
}

/** Every standing alarm with its advice, over the page. The browser's own dialog keeps focus and Escape in order. */
export function AlarmList({ alarms, site, onClose }: AlarmListProps) {
  const { words } = useSeat();
  const ref = useRef<HTMLDialogElement>(null);
  useEffect(() => ref.current?.showModal(), []);
  return (
    <dialog className="list" ref={ref} data-testid="alarm-list" aria-labelledby="alarm-list-title" onClose={onClose}>
      <header className="list__head">
        <h2 id="alarm-list-title">{words.alarms.all}</h2>
        <button type="button" className="action action--quiet" onClick={() => ref.current?.close()}>
          {words.alarms.close}
        </button>
      </header>
      {alarms.map((alarm) => (
        <AlarmItem key={alarm.id} alarm={alarm} site={site} form="list" />
      ))}
      {alarms.length === 0 ? <p className="strip__none">{words.alarms.none}</p> : null}
    </dialog>
  );
}
