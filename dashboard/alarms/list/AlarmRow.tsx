import { findPointKind } from '../../../domain/points/catalogue.ts';
import { pointKey } from '../../../domain/points/reading.ts';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { formatOffset } from '../../format/offset.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Reading } from '../../ui/Reading.tsx';
import { AlarmArticle } from '../AlarmArticle.tsx';
import { AlarmOrder } from '../AlarmOrder.tsx';
import { AlarmCard } from '../card/AlarmCard.tsx';
import { useAlarmWords } from '../use-alarm-words.ts';
import { LineGlyph } from './LineGlyph.tsx';

export interface AlarmRowProps {
  readonly alarm: LiveAlarm;
  /** The alarm it followed from, where it stands apart from its group. */
  readonly follows: LiveAlarm | null;
  readonly site: LiveSite;
  readonly isLive: boolean;
  readonly isOpen: boolean;
  readonly onToggle: () => void;
}

/** One alarm of the list; its card opens in place, under it. */
export function AlarmRow({ alarm, follows, site, isLive, isOpen, onToggle }: AlarmRowProps) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const said = useAlarmWords(alarm, site);
  const kind = findPointKind(alarm.point);
  const tags = [
    alarm.firstOut ? words.alarms.firstOut : null,
    !alarm.firstOut && follows ? `${words.alarms.ofGroup(follows.title)}, ${alarm.order ?? ''}. ${alarm.offsetMs === null ? '' : words.alarms.offset(formatOffset(alarm.offsetMs, words))}` : null,
    alarm.chattering ? words.alarms.chattering : null,
  ].filter((tag) => tag !== null);
  const marks = tags.map((tag) => (
    <span key={tag} className="tag">
      {tag}
    </span>
  ));
  return (
    <AlarmArticle alarm={alarm} site={site} look="row" glyph={<LineGlyph alarm={alarm} />} tags={marks}>
      <div className="alarm__value">{kind && !kind.state ? <Reading label={words.told(kind.label)} point={points.get(pointKey(alarm.owner, alarm.point))} size="middle" hasMargin={false} /> : null}</div>
      <AlarmOrder alarm={alarm} />
      <button type="button" className="alarm__toggle" data-testid="toggle-card" aria-expanded={isOpen} aria-label={`${isOpen ? words.alarms.close : words.alarms.open}: ${alarm.title}`} onClick={onToggle}>
        {isOpen ? words.alarms.close : words.alarms.open}
      </button>
      {isOpen ? <AlarmCard alarm={alarm} site={site} isLive={isLive} state={said.state} /> : null}
    </AlarmArticle>
  );
}
