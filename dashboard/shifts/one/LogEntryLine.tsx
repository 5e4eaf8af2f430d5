import { useState } from 'react';
import type { Shift } from '../../api/shift-shapes.ts';
import { photoPath } from '../../api/shifts.ts';
import { formatDay } from '../../format/day.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { shiftHref } from '../shift-route.ts';
import { CorrectDialog } from './CorrectDialog.tsx';
import type { LogLine } from './log-lines.ts';

export interface LogEntryLineProps {
  readonly line: LogLine;
  readonly before: LogLine | null;
  readonly shift: Shift;
  readonly zone: string;
  readonly mayCorrect: boolean;
  readonly onChange: () => void;
}

/** Notes and entries can be corrected; what a person signed or the server did can't. */
const CORRECTABLE: readonly LogLine['kind'][] = ['note', 'entry'];

export function LogEntryLine({ line, before, shift, zone, mayCorrect, onChange }: LogEntryLineProps) {
  const { words } = useSeat();
  const [isCorrecting, setCorrecting] = useState(false);
  const atMs = Date.parse(line.at);
  const day = formatDay(atMs, zone, words);
  const isNewDay = before === null || formatDay(Date.parse(before.at), zone, words) !== day;
  return (
    <li className="log-line" data-kind={line.kind} data-testid={`log-${line.kind}`}>
      {isNewDay ? <span className="log-line__day">{day}</span> : null}
      <time dateTime={line.at}>{formatClockOnce(atMs, zone, false)}</time>
      <span className="log-line__kind">{words.shifts.log.kinds[line.kind]}</span>
      <div className="log-line__said">
        <p>{line.text}</p>
        <p className="soft">
          {line.who}
          {line.note ? (
            <>
              {line.who === '' ? '' : ', '}
              <a className="log-line__where" href={shiftHref(shift.id, 'trace', { at: line.at })}>
                {words.shifts.log.onTrace}
              </a>
            </>
          ) : null}
        </p>
        {line.note?.photo ? (
          <a href={photoPath(shift.id, line.note.photo)} target="_blank" rel="noreferrer" className="log-line__photo">
            <img src={photoPath(shift.id, line.note.photo)} alt={words.shifts.log.photoOf(line.text)} loading="lazy" />
          </a>
        ) : null}
        {line.corrections.map((one) => (
          <p key={one.at} className="log-line__correction" data-testid="correction">
            <strong>{words.shifts.log.correction}</strong> {one.text}{' '}
            <span className="soft">
              {one.by}, {formatDay(Date.parse(one.at), zone, words)} {formatClockOnce(Date.parse(one.at), zone, false)}
            </span>
          </p>
        ))}
      </div>
      {mayCorrect && CORRECTABLE.includes(line.kind) ? (
        <button type="button" className="log-line__correct" data-testid="correct" aria-label={words.shifts.log.correctThis(line.text)} onClick={() => setCorrecting(true)}>
          {words.shifts.log.correct}
        </button>
      ) : null}
      {isCorrecting ? <CorrectDialog shift={shift.id} of={line.id} what={line.text} onDone={onChange} onClose={() => setCorrecting(false)} /> : null}
    </li>
  );
}
