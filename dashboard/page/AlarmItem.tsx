import type { LiveAlarm, LiveSite } from '../../domain/wire/live.ts';
import { AlarmArticle } from '../alarms/AlarmArticle.tsx';
import { AlarmOrder } from '../alarms/AlarmOrder.tsx';

/** One alarm in the strip. */
export function AlarmItem({ alarm, site }: { alarm: LiveAlarm; site: LiveSite }) {
  return (
    <AlarmArticle alarm={alarm} site={site} look="strip">
      <AlarmOrder alarm={alarm} />
    </AlarmArticle>
  );
}
