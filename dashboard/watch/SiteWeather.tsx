import { pointKey } from '../../domain/points/reading.ts';
import type { LivePoint, LiveSite } from '../../domain/wire/live.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { ShortTrace } from './recent/ShortTrace.tsx';
import { useTimeLeft } from './recent/use-time-left.ts';
import { Reading } from '../ui/Reading.tsx';
import { compassPoint } from '../format/compass-point.ts';

/** The weather all rigs of a site share. */
export function SiteWeather({ site }: { site: LiveSite }) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const find = (id: string): LivePoint | undefined => points.get(pointKey(site.id, id));
  const humidityLeft = useTimeLeft(find('ambient-humidity'));
  const direction = find('wind-direction');
  const from = direction?.quality === 'good' && direction.value !== null ? `, ${words.climate.windFrom(compassPoint(direction.value, words.climate.directions))}` : '';
  const reading = (label: string, id: string, point = find(id)) => <Reading label={label} point={point} size="small" testId={id} trace={<ShortTrace point={point} />} more={id === 'ambient-humidity' ? humidityLeft : null} />;
  return (
    <section className="weather" aria-label={words.climate.region}>
      {reading(words.climate.dewPoint, 'ambient-dew-point')}
      {reading(words.climate.airTemperature, 'ambient-temperature')}
      {reading(words.climate.humidity, 'ambient-humidity')}
      {reading(`${words.climate.wind}${from}`, 'wind-speed')}
      {site.compressors.map((compressor) => (
        <Intake key={compressor.id} name={site.compressors.length > 1 ? compressor.name : null} plume={points.get(pointKey(compressor.id, 'intake-in-plume'))} />
      ))}
    </section>
  );
}

/** Whether the compressor breathes what the work and the engines give off: told from the wind, so not in a calm. */
function Intake({ name, plume }: { name: string | null; plume: LivePoint | undefined }) {
  const { words } = useSeat();
  if (!plume) return null;
  const isKnown = plume.quality === 'good' && plume.value !== null;
  return (
    <div className="intake" data-testid="intake">
      <div className="reading__label">{name === null ? words.climate.intake : `${words.climate.intake}, ${name}`}</div>
      <div className="intake__state">{isKnown ? (plume.value > 0 ? words.climate.intakeDownwind : words.climate.intakeClear) : words.air.cantSay}</div>
      {isKnown || plume.reason === null ? null : <div className="reading__notes">{words.reasons[plume.reason]}</div>}
    </div>
  );
}
