import { useRef } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { useCloseElsewhere } from '../hooks/use-close-elsewhere.ts';
import { useStore } from '../hooks/use-store.ts';
import { PLACES, THEMES } from '../store/preferences.ts';
import type { UnitSystem } from '../format/units.ts';

const SYSTEMS: readonly UnitSystem[] = ['us', 'si'];

/** Units, light and sign-out. The browser's own disclosure: works by keyboard and touch without code of ours. */
export function PageMenu({ onSignOut }: { onSignOut: () => void }) {
  const { desk, words, session } = useSeat();
  const preferences = useStore(desk.preferences);
  const menu = useRef<HTMLDetailsElement>(null);
  useCloseElsewhere(menu, () => {
    if (menu.current) menu.current.open = false;
  });
  return (
    <details className="menu" data-testid="menu" ref={menu}>
      <summary className="menu__open">{words.menu}</summary>
      <div className="menu__body">
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
        <button type="button" className="action action--quiet" data-testid="sign-out" onClick={onSignOut}>
          {words.signOut}
        </button>
      </div>
    </details>
  );
}
