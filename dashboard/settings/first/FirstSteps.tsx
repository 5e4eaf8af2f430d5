import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';

/** Where somebody is who sets up: over the screens that are visited on the way, with the way on. */
export function FirstSteps({ at }: { at: 'points' | 'other' }) {
  const { words } = useSeat();
  const told = words.settingsScreen.first;
  return (
    <section className="first-steps" aria-label={told.title} data-testid="first-steps">
      <Steps at={at === 'points' ? 2 : 3} />
      <p>
        {told.points} <span className="soft">{told.sensorsPublish}</span>
      </p>
      <div className="first-steps__keys">
        <a className="action action--link action--quiet" href="#/people" data-testid="first-people">
          {told.toPeopleScreen}
        </a>
        <a className="action action--link" href={routeHref('watch')} data-testid="first-watch">
          {told.watch}
        </a>
      </div>
    </section>
  );
}

/** The four steps in a row, the present one marked. */
export function Steps({ at }: { at: number }) {
  const { words } = useSeat();
  const told = words.settingsScreen.first;
  return (
    <ol className="steps" aria-label={told.step(at + 1, told.steps.length)}>
      {told.steps.map((step, index) => (
        <li key={step} aria-current={index === at ? 'step' : undefined} data-done={index < at || undefined}>
          {step}
        </li>
      ))}
    </ol>
  );
}
