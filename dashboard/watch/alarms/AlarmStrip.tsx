import { useState } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { AlarmItem } from './AlarmItem.tsx';
import { AlarmList } from './AlarmList.tsx';

/** As many as the strip has room for on a desk; a phone hides the second. */
const IN_STRIP = 2;

export interface AlarmStripProps {
  readonly site: LiveSite;
  /** In the order to be shown. */
  readonly alarms: readonly LiveAlarm[];
  readonly isLive: boolean;
}

/** The place kept for alarms: always there and always as high, so that nothing below moves when one comes. */
export function AlarmStrip({ site, alarms, isLive }: AlarmStripProps) {
  const { words } = useSeat();
  const [isOpen, setOpen] = useState(false);
  return (
    <section className="strip" data-testid="alarm-strip" data-count={alarms.length} aria-label={words.alarms.region}>
      <div className="strip__slots" role="log" aria-live="assertive" aria-relevant="additions">
        {alarms.slice(0, IN_STRIP).map((alarm) => (
          <AlarmItem key={alarm.id} alarm={alarm} site={site} form="strip" />
        ))}
        {alarms.length === 0 ? <p className="strip__none">{isLive ? words.alarms.none : words.alarms.unknown}</p> : null}
      </div>
      <button type="button" className="strip__all" data-testid="all-alarms" data-count={alarms.length} hidden={alarms.length === 0} aria-haspopup="dialog" onClick={() => setOpen(true)}>
        {words.alarms.showAll(alarms.length)}
      </button>
      {isOpen ? <AlarmList alarms={alarms} site={site} onClose={() => setOpen(false)} /> : null}
    </section>
  );
}
