import { formatAge } from '../format/age.ts';
import { useSeat } from '../hooks/desk-context.ts';
import type { LinkState } from '../link/link-state.ts';

/** A connection usually takes less than this: no need to startle anyone. */
const PATIENCE_MS = 1_500;

/** Full-width words over the bar when what is shown isn't now. It covers the bar and nothing else, so nothing moves. */
export function LinkBand({ link, asOf }: { link: LinkState; asOf: string | null }) {
  const { words } = useSeat();
  if (link.state === 'live' || (link.state === 'connecting' && link.forMs < PATIENCE_MS)) return null;
  const since = asOf === null ? '' : ` ${words.link.sinceLost(asOf)}`;
  switch (link.state) {
    case 'connecting':
      return <Band state={link.state} headline={words.link.connecting} text={words.link.connectingLong(formatAge(link.forMs, words))} />;
    case 'catching-up':
      return <Band state={link.state} headline={words.link.catchingUp} text={words.link.catchingUpText} />;
    case 'not-live': {
      const age = formatAge(link.ageMs, words);
      const text = link.because === 'server-silent' ? words.link.serverSilent(age) : words.link.gatewaySilent(age);
      return <Band state={link.state} headline={words.link.notLive} text={`${text} ${words.link.lookYourself}`} note={since} />;
    }
  }
}

function Band({ state, headline, text, note = '' }: { state: string; headline: string; text: string; note?: string }) {
  return (
    <div className="not-live" data-testid="not-live-band" data-state={state}>
      {/* Only the headline is announced: a seconds count read out each second would drown everything else. */}
      <strong className="not-live__headline" role="alert">
        {headline}
      </strong>
      <span className="not-live__text">{text}</span>
      <span className="not-live__note">{note}</span>
    </div>
  );
}
