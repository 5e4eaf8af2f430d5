import type { HandEntry, Shift } from '../../api/shift-shapes.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { describeEntry } from '../one/describe-entry.ts';
import type { LaneProps } from './lane.ts';
import { packBands } from './pack-bands.ts';

const ROW_PX = 30;
const MARK_PX = 30;

/** Notes and hand entries where they belong: a letter each, its words beside it where there is room. */
export function MarkLane({ shift, entries, stretch, zone, x, widthPx, onShow }: LaneProps & { shift: Shift; entries: readonly HandEntry[] }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.trace;
  const marks = [
    ...shift.notes.map((note) => ({ id: note.id, kind: 'note', atMs: Date.parse(note.placedAt), text: note.text, by: note.by })),
    ...entries.map((entry) => ({ id: entry.id, kind: 'entry', atMs: Date.parse(entry.at), text: describeEntry(entry, units, words), by: entry.by })),
    ...shift.handovers.map((one, index) => ({ id: `handover-${index}`, kind: 'handover', atMs: Date.parse(one.at), text: words.shifts.log.handedOver(one.to, one.text), by: one.by })),
  ]
    .filter((mark) => mark.atMs >= stretch.fromMs && mark.atMs <= stretch.toMs)
    .sort((a, b) => a.atMs - b.atMs);
  const perPx = (stretch.toMs - stretch.fromMs) / Math.max(1, widthPx);
  const rows = packBands(marks.map((mark) => ({ fromMs: mark.atMs, toMs: mark.atMs })), MARK_PX * perPx);
  const height = Math.max(1, ...rows.map((row) => row + 1)) * ROW_PX;
  return (
    <div className="lane lane--marks" data-testid="mark-lane" role="group" aria-label={told.marks}>
      <p className="lane__name">
        {told.marks} <span className="soft">{told.markLegend}</span>
      </p>
      <div className="lane__space" style={{ height }}>
        {marks.map((mark, index) => (
          <button
            key={mark.id}
            type="button"
            className="mark"
            data-kind={mark.kind}
            data-testid={`mark-${mark.kind}`}
            style={{ left: x(mark.atMs), top: (rows[index] ?? 0) * ROW_PX }}
            title={`${formatClockOnce(mark.atMs, zone, false)} ${mark.text}`}
            aria-label={`${told.markKinds[mark.kind] ?? mark.kind}, ${formatClockOnce(mark.atMs, zone, true)}: ${mark.text}, ${mark.by}`}
            onClick={() => onShow(mark.atMs, mark.atMs)}
          >
            {told.markLetters[mark.kind] ?? '·'}
          </button>
        ))}
      </div>
      <ul className="lane__list">
        {marks.length <= MOST_IN_WORDS
          ? marks.map((mark) => (
              <li key={mark.id}>
                <time>{formatClockOnce(mark.atMs, zone, false)}</time> {mark.text}
              </li>
            ))
          : null}
      </ul>
    </div>
  );
}

/** As many as are read at a glance; with more, coming closer shows fewer. */
const MOST_IN_WORDS = 5;
