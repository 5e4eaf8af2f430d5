import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { type LinePlace, placeOnLine } from './place-on-line.ts';

/** Places of the drawing's parts: the air comes from the left, and branches off to the hood. */
const AT: Readonly<Record<LinePlace, readonly [x: number, y: number]>> = {
  compressor: [14, 34], machine: [62, 34], hose: [90, 34], nozzle: [118, 34], hood: [90, 11], outside: [118, 11],
};

/** The air line small: where on it this alarm is. The words say it too; the eye finds it faster. */
export function LineGlyph({ alarm }: { alarm: Pick<LiveAlarm, 'point'> }) {
  const place = placeOnLine(alarm);
  const [x, y] = AT[place];
  return (
    <svg className="line-glyph" data-place={place} viewBox="0 0 132 46" aria-hidden="true" focusable="false">
      <path className="line-glyph__pipe" d="M14 34H118M62 34V11H84" />
      <path className="line-glyph__part" d="M6 28h16v12H6z" />
      <path className="line-glyph__part" d="M54 26h16v8l-5 7h-6l-5-7z" />
      <path className="line-glyph__part" d="M112 30l14 2v4l-14 2z" />
      <path className="line-glyph__part" d="M83 17v-5a7 7 0 0 1 14 0v5z" />
      {place === 'outside' ? null : <circle className="line-glyph__mark" cx={x} cy={y} r="9" />}
    </svg>
  );
}
