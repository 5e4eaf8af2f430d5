import { useRef } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { useCloseElsewhere } from '../hooks/use-close-elsewhere.ts';
import { useStore } from '../hooks/use-store.ts';
import { PLACES, THEMES } from '../store/preferences.ts';
import type { UnitSystem } from '../format/units.ts';
import { LanguageChoices } from '../ui/LanguageChoices.tsx';
import type { Words } from '../words/en.ts';
import { type Route, routeHref } from './route.ts';

/** Screens that have no door of their own beside the alarms. */
const MENU_PLACES: readonly { readonly route: Route; readonly label: (words: Words) => string }[] = [
  { route: 'watch', label: (words) => words.alarms.doorBack },
  { route: 'sites', label: (words) => words.sites.door },
  { route: 'ready', label: (words) => words.ready.door },
  { route: 'sizing', label: (words) => words.sizing.door },
  { route: 'people', label: (words) => words.people.door },
  { route: 'settings', label: (words) => words.settingsScreen.door },
];

const SYSTEMS: readonly UnitSystem[] = ['us', 'si'];

/** Other screens, units, light and sign-out. The browser's own disclosure: works by keyboard and touch without code of ours. */
export function PageMenu({ onSignOut, hasManySites }: { onSignOut: () => void; hasManySites: boolean }) {
  const { desk, words, session } = useSeat();
  const preferences = useStore(desk.preferences);
  const menu = useRef<HTMLDetailsElement>(null);
  const close = (): void => {
    if (menu.current) menu.current.open = false;
  };
  useCloseElsewhere(menu, close);
  return (
    <details className="menu" data-testid="menu" ref={menu}>
      <summary className="menu__open">{words.menu}</summary>
      <div className="menu__body">
        <nav className="menu__places" aria-label={words.goTo}>
          {MENU_PLACES.filter(({ route }) => route !== 'sites' || hasManySites).map(({ route, label }) => (
            <a key={route} className="menu__place" data-testid={`go-${route}`} href={routeHref(route)} onClick={close}>
              {label(words)}
            </a>
          ))}
        </nav>
        <p>{words.signedInAs(session.name, words.roles[session.role] ?? session.role)}</p>
        <fieldset>
          <legend>{words.settings.units}</legend>
          {SYSTEMS.map((units) => (
            <label key={units} className="choice">
              <input type="radio" name="units" checked={preferences.units === units} onChange={() => desk.preferences.set({ ...preferences, units })} />
              <span>{words.settings[units]}</span>
            </label>
          ))}
        </fieldset>
        <fieldset>
          <legend>{words.settings.theme}</legend>
          {THEMES.map((theme) => (
            <label key={theme} className="choice">
              <input type="radio" name="theme" checked={preferences.theme === theme} onChange={() => desk.preferences.set({ ...preferences, theme })} />
              <span>{words.settings.themes[theme]}</span>
            </label>
          ))}
        </fieldset>
        <fieldset>
          <legend>{words.settings.place}</legend>
          {PLACES.map((place) => (
            <label key={place} className="choice">
              <input type="radio" name="place" checked={preferences.place === place} onChange={() => desk.preferences.set({ ...preferences, place })} />
              <span>{words.settings.places[place]}</span>
            </label>
          ))}
        </fieldset>
        <LanguageChoices legend={words.settings.language} chosen={preferences.language} onChoose={(language) => desk.preferences.set({ ...preferences, language })} />
        <button type="button" className="action action--quiet" data-testid="sign-out" onClick={onSignOut}>
          {words.signOut}
        </button>
      </div>
    </details>
  );
}
