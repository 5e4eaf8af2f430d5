import { pointKey } from '../../domain/points/reading.ts';
import type { LivePoint, LiveSite } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { Reading } from '../ui/Reading.tsx';
import { compassPoint } from '../format/compass-point.ts';

/** The weather all rigs of a site share. */
export function SiteWeather({ site }: { site: LiveSite }) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const find = (id: string): LivePoint | undefined => points.get(pointKey(site.id, id));
  const direction = find('wind-direction');
  const from = direction?.quality === 'good' && direction.value !== null ? `, ${words.climate.windFrom(compassPoint(direction.value, words.climate.directions))}` : '';
  return (
    <section className="weather" aria-label={words.climate.region}>
      <Reading label={words.climate.dewPoint} point={find('ambient-dew-point')} size="small" testId="ambient-dew-point" />
      <Reading label={words.climate.airTemperature} point={find('ambient-temperature')} size="small" testId="ambient-temperature" />
      <Reading label={words.climate.humidity} point={find('ambient-humidity')} size="small" testId="ambient-humidity" />
      <Reading label={`${words.climate.wind}${from}`} point={find('wind-speed')} size="small" testId="wind-speed" />
    </section>
  );
}
