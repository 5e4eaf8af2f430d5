import { type ChangeEvent, useState } from 'react';
import { photoPath, sendPhoto, shiftPath } from '../../api/shifts.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { Choices } from '../../ui/Choices.tsx';
import { Dialog } from '../../ui/Dialog.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';
import { fitPhoto } from './fit-photo.ts';

export interface NoteDialogProps {
  readonly shift: Shift;
  readonly zone: string;
  /** The instant pointed at on the trace; null: it is chosen here. */
  readonly placedAtMs: number | null;
  readonly onDone: () => void;
  readonly onClose: () => void;
}

/** Minutes ago that a note may be about; further back it is put on the trace itself. */
const AGO_MIN = [0, 5, 15, 30, 60] as const;
type Photo = 'sending' | { readonly id: string } | { readonly failed: string } | null;

/** A note and where on the trace it belongs, with a photo from the phone's camera. */
export function NoteDialog({ shift, zone, placedAtMs, onDone, onClose }: NoteDialogProps) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const [text, setText] = useState('');
  const [ago, setAgo] = useState(0);
  const [photo, setPhoto] = useState<Photo>(null);
  const endMs = shift.endedAt === null ? (nowMs ?? 0) : Date.parse(shift.endedAt);
  const startMs = Date.parse(shift.startedAt);
  const atMs = placedAtMs ?? Math.max(startMs, endMs - ago * 60_000);
  const choices = AGO_MIN.filter((minutes) => minutes === 0 || endMs - minutes * 60_000 > startMs);
  const take = async (event: ChangeEvent<HTMLInputElement>): Promise<void> => {
    const file = event.target.files?.[0];
    if (!file) return;
    setPhoto('sending');
    const fitted = await fitPhoto(file);
    if (!fitted) return setPhoto({ failed: words.shifts.note.photoUnreadable });
    const answer = await sendPhoto(shift.id, fitted);
    setPhoto(answer.ok ? answer.body : { failed: answer.status === 0 ? words.alarms.failedUnreachable : words.problem(answer.detail) });
  };
  const photoId = photo !== null && typeof photo === 'object' && 'id' in photo ? photo.id : null;
  return (
    <Dialog title={words.shifts.note.title} testId="note-dialog" onClose={onClose}>
      <OrderForm
        path={shiftPath(shift.id, 'notes')}
        testId="note-do"
        submit={words.shifts.note.do}
        isHeld={photo === 'sending'}
        onDone={() => {
          onDone();
          onClose();
        }}
        onCancel={onClose}
        compose={() => {
          if (text.trim() === '') return { missing: words.shifts.needWords };
          // Without a place the server puts it where its own clock stands.
          const isNow = placedAtMs === null && ago === 0;
          return { body: { text: text.trim(), ...(isNow ? {} : { placedAt: new Date(atMs).toISOString() }), ...(photoId === null ? {} : { photo: photoId }) } };
        }}
      >
        <label className="field">
          {words.shifts.note.text}
          <textarea name="text" rows={3} maxLength={1000} value={text} onChange={(event) => setText(event.target.value)} />
        </label>
        {placedAtMs === null ? (
          <Choices legend={words.shifts.note.when} name="ago" chosen={String(ago)} options={choices.map((minutes) => [String(minutes), minutes === 0 ? (shift.endedAt === null ? words.shifts.note.now : words.shifts.note.atEnd) : words.shifts.note.ago(minutes, formatClockOnce(endMs - minutes * 60_000, zone, false))])} onChoose={(minutes) => setAgo(Number(minutes))} />
        ) : (
          <p>{words.shifts.note.placed(formatClockOnce(placedAtMs, zone, true))}</p>
        )}
        <div className="photo">
          <label className="action action--quiet photo__take">
            <input type="file" accept="image/jpeg,image/png" capture="environment" data-testid="photo" onChange={(event) => void take(event)} />
            <span>{photoId === null ? words.shifts.note.photo : words.shifts.note.otherPhoto}</span>
          </label>
          <p role="status">{photo === 'sending' ? words.shifts.note.photoSending : photo && 'failed' in photo ? words.shifts.note.photoFailed(photo.failed) : ''}</p>
          {photoId === null ? null : <img src={photoPath(shift.id, photoId)} alt={words.shifts.note.photoAlt} data-testid="photo-sent" />}
        </div>
      </OrderForm>
    </Dialog>
  );
}
