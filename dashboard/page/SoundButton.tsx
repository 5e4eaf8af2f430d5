import { useRef, useState } from 'react';
import { formatCountdown } from '../format/countdown.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useCloseElsewhere } from '../hooks/use-close-elsewhere.ts';
import { useStore } from '../hooks/use-store.ts';
import { type Sound, heard } from '../sound/next-sound.ts';
import { SoundPanel } from './SoundPanel.tsx';

type Shown = 'off' | 'blocked' | 'sounding' | 'silent' | 'armed';

/** Whether this page can be heard, always in sight. While it calls, the same key is the one that quiets it. */
export function SoundButton() {
  const { desk, words } = useSeat();
  const sound = useStore(desk.sound.sound);
  const tickMs = useStore(desk.tick);
  const [isOpen, setOpen] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  useCloseElsewhere(box, () => setOpen(false));
  const shown = shownState(sound);
  const labels: Record<Shown, string> = {
    off: words.sound.off,
    blocked: words.sound.blocked,
    sounding: words.sound.silence,
    silent: words.sound.silent(formatCountdown((sound.silence?.untilMs ?? tickMs) - tickMs)),
    armed: words.sound.armed,
  };
  return (
    <div className="sound" ref={box}>
      <button
        type="button"
        className="sound__key"
        data-testid="sound"
        data-sound={shown}
        aria-expanded={isOpen}
        onClick={() => (shown === 'sounding' ? desk.sound.silence() : setOpen(!isOpen))}
      >
        <SoundSymbol isOn={shown === 'armed' || shown === 'sounding'} />
        <span>{labels[shown]}</span>
      </button>
      {isOpen ? <SoundPanel sound={sound} onClose={() => setOpen(false)} /> : null}
    </div>
  );
}

function shownState(sound: Sound): Shown {
  if (!sound.isArmed) return 'off';
  if (sound.isBlocked) return 'blocked';
  if (heard(sound) !== null && sound.causes.length > 0 && sound.silence === null) return 'sounding';
  return sound.silence ? 'silent' : 'armed';
}

/** Our horn: a mouth and its air; struck through while it is off. */
function SoundSymbol({ isOn }: { isOn: boolean }) {
  return (
    <svg className="sound__symbol" viewBox="0 0 36 28" aria-hidden="true" focusable="false">
      <path d="M3 11h6L21 4v20L9 17H3z" />
      {isOn ? <path d="M26 9v10M31 6v16" /> : <path d="M25 9l9 10M34 9l-9 10" />}
    </svg>
  );
}
