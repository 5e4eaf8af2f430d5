import type { LiveSite } from '../../../domain/wire/live.ts';
import type { ShiftCard } from '../../api/shift-shapes.ts';
import { formatDate } from '../../format/day.ts';
import { formatClockOnce, formatSpan } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { MadeUp } from '../MadeUp.tsx';
import { StateMark } from '../StateMark.tsx';
import { shiftHref } from '../shift-route.ts';
import { whereOfShift } from '../site-names.ts';
import { describeHeadline } from './describe-headline.ts';
import { ShiftPicture } from './ShiftPicture.tsx';

export interface ShiftRowProps {
  readonly card: ShiftCard;
  readonly sites: readonly LiveSite[];
  readonly isChosen: boolean;
  readonly onChoose: (isOn: boolean) => void;
}

/** One line of the book of shifts: when and where, its picture, its numbers, who signed. */
export function ShiftRow({ card, sites, isChosen, onChoose }: ShiftRowProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const { rigName, siteName, zone, rig } = whereOfShift(card, sites);
  const startMs = Date.parse(card.startedAt);
  const endMs = card.endedAt === null ? null : Date.parse(card.endedAt);
  const span = endMs === null ? words.shifts.since(formatClockOnce(startMs, zone, false)) : formatSpan(startMs, endMs, zone, words);
  return (
    <li className="shift-row" data-testid={`shift-row-${card.id}`} data-made-up={card.drill || card.replay || undefined}>
      <a className="shift-row__open" href={shiftHref(card.id)}>
        <span className="shift-row__who">
          <strong className="shift-row__rig">{rigName}</strong> <MadeUp drill={card.drill} replay={card.replay} />
          <span className="shift-row__when">
            {formatDate(startMs, zone, words)}, {span}
          </span>
          <span className="soft">
            {sites.length > 1 ? `${siteName}, ` : ''}
            {words.shifts.startedBy(card.startedBy)}
          </span>
        </span>
        <ShiftPicture card={card} wanted={rig?.wanted ?? null} />
        <span className="shift-row__facts">
          {card.headline === null && card.state === 'open' ? <span className="shift-row__later soft">{words.shifts.notYet}</span> : null}
          {(card.headline === null && card.state === 'open' ? [] : describeHeadline(card.headline, units, words)).map((fact) => (
            <span key={fact.label} className="shift-row__fact">
              <span className="shift-row__label">{fact.label}</span>
              <strong>{fact.value}</strong>
              {fact.note === '' ? null : <span className="soft">{fact.note}</span>}
            </span>
          ))}
        </span>
        <span className="shift-row__state">
          <StateMark state={card.state} />
          {card.signOffs.map((one) => (
            <span key={one.at + one.name} className="soft">
              {words.shifts.signedBy(one.name, words.roleNames(one.role))}
            </span>
          ))}
        </span>
      </a>
      <label className="shift-row__pick">
        <input type="checkbox" checked={isChosen} data-testid={`pick-${card.id}`} aria-label={words.shifts.pick(rigName, formatDate(startMs, zone, words))} onChange={(event) => onChoose(event.target.checked)} />
        <span aria-hidden="true">{words.shifts.pickShort}</span>
      </label>
    </li>
  );
}
