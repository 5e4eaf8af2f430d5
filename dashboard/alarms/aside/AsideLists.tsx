import type { AlarmState } from '../../../domain/alarms/alarm.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import type { ScreenProps } from '../../page/screen-props.ts';
import { AsideRow } from './AsideRow.tsx';
import { asideUntil } from './aside-until.ts';

type Aside = Extract<AlarmState, 'shelved' | 'out-of-service' | 'suppressed-by-design'>;

/** What does not sound now, each kind by itself, always with its count: nothing that was set aside may be forgotten. */
export function AsideLists({ site, alarms }: ScreenProps) {
  const { words } = useSeat();
  const lists: readonly { readonly state: Aside; readonly title: string; readonly about: string }[] = [
    { state: 'shelved', title: words.aside.shelved, about: words.aside.shelvedAbout },
    { state: 'out-of-service', title: words.aside.outOfService, about: words.aside.outOfServiceAbout },
    { state: 'suppressed-by-design', title: words.aside.suppressed, about: words.aside.suppressedAbout },
  ];
  return (
    <div className="asides">
      {lists.map(({ state, title, about }) => {
        // What comes back first stands first.
        const mine = alarms.filter((a) => a.state === state).sort((a, b) => asideUntil(a) - asideUntil(b) || a.id.localeCompare(b.id));
        return (
          <section key={state} className="aside" data-testid={`aside-${state}`} aria-label={title}>
            <header className="aside__head">
              <h2>
                {title} <span className="tabs__count">{mine.length}</span>
              </h2>
              <p className="soft">{about}</p>
            </header>
            {mine.map((alarm) => (
              <AsideRow key={alarm.id} alarm={alarm} site={site} />
            ))}
            {mine.length === 0 ? <p className="soft">{words.aside.none}</p> : null}
          </section>
        );
      })}
    </div>
  );
}
