import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { SoundPanel } from '../page/SoundPanel.tsx';
import { PLACES, type Place, THEMES, type Theme, ZONE_CHOICES, type ZoneChoice } from '../store/preferences.ts';
import type { UnitSystem } from '../format/units.ts';
import { Choices } from '../ui/Choices.tsx';
import { LanguageChoices } from '../ui/LanguageChoices.tsx';

const SYSTEMS: readonly UnitSystem[] = ['us', 'si'];

/** What this device shows and sounds: the browser's own, nobody else's. */
export function DeviceSection() {
  const { desk, words } = useSeat();
  const told = words.settingsScreen.device;
  const preferences = useStore(desk.preferences);
  const sound = useStore(desk.sound.sound);
  const set = (part: Partial<typeof preferences>): void => desk.preferences.set({ ...preferences, ...part });
  return (
    <div className="device" data-testid="device-section">
      <p className="soft">{told.lead}</p>
      <Choices legend={words.settings.units} name="device-units" chosen={preferences.units} options={SYSTEMS.map((one) => [one, words.settings[one]])} onChoose={(units) => set({ units: units as UnitSystem })} />
      <LanguageChoices legend={words.settings.language} chosen={preferences.language} onChoose={(language) => set({ language })} />
      <Choices legend={words.settings.theme} name="device-theme" chosen={preferences.theme} options={THEMES.map((one) => [one, words.settings.themes[one]])} onChoose={(theme) => set({ theme: theme as Theme })} />
      <Choices legend={words.settings.place} name="device-place" chosen={preferences.place} options={PLACES.map((one) => [one, words.settings.places[one]])} onChoose={(place) => set({ place: place as Place })} />
      <Choices legend={told.zone} name="device-zone" chosen={preferences.zone} options={ZONE_CHOICES.map((one) => [one, told.zones[one]])} onChoose={(zone) => set({ zone: zone as ZoneChoice })} />
      <div className="device__sound">
        <SoundPanel sound={sound} onClose={() => undefined} />
      </div>
    </div>
  );
}
