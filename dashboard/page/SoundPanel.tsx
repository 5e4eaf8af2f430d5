import { useSeat } from '../hooks/desk-context.ts';
import type { Sound } from '../sound/next-sound.ts';

/** Turning the sound on and off and trying it. Both patterns are told in words, so that one who hears it later knows which it was. */
export function SoundPanel({ sound, onClose }: { sound: Sound; onClose: () => void }) {
  const { desk, words } = useSeat();
  const text = !sound.isArmed ? words.sound.offText : sound.isBlocked ? words.sound.blockedText : sound.silence ? words.sound.silentText : words.sound.armedText;
  return (
    <div className="sound__panel" role="group" aria-label={words.sound.title} data-testid="sound-panel">
      <h2>{words.sound.title}</h2>
      <p role="status">{text}</p>
      <div className="sound__orders">
        {sound.isArmed && !sound.isBlocked ? (
          <button type="button" className="action action--quiet" data-testid="sound-disarm" onClick={() => desk.sound.disarm()}>
            {words.sound.disarm}
          </button>
        ) : (
          <button type="button" className="action" data-testid="sound-arm" onClick={() => desk.sound.arm()}>
            {words.sound.arm}
          </button>
        )}
        {sound.silence ? (
          <button type="button" className="action" data-testid="sound-unsilence" onClick={() => desk.sound.unsilence()}>
            {words.sound.unsilence}
          </button>
        ) : null}
        <button type="button" className="action action--quiet" onClick={onClose}>
          {words.sound.close}
        </button>
      </div>
      {sound.isArmed ? (
        <div className="sound__tests">
          <button type="button" className="action" data-testid="sound-test-air" onClick={() => desk.sound.test('air')}>
            {words.sound.testAir}
          </button>
          <p>{words.sound.testAirText}</p>
          <button type="button" className="action" data-testid="sound-test-other" onClick={() => desk.sound.test('other')}>
            {words.sound.testOther}
          </button>
          <p>{words.sound.testOtherText}</p>
        </div>
      ) : null}
      <p className="soft">{words.sound.duty}</p>
    </div>
  );
}
