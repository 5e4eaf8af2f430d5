import type { Random } from '../random.ts';
import { ZERO_CELSIUS } from './air.ts';
import type { SiteEffects } from './effects.ts';
import { relativeHumidity, saturationPressure } from './moist-air.ts';

/** A day's weather in a few numbers. */
export interface WeatherBuild {
  /** Hour of the day, local, at the start. */
  readonly hourAtStart: number;
  /** Mean of the day and half its swing, °C. */
  readonly mean: number;
  readonly swing: number;
  /** °C */
  readonly dewPoint: number;
  /** Where the wind blows from, degrees, and how fast, m/s. */
  readonly windFrom: number;
  readonly windSpeed: number;
  /** m above sea level */
  readonly elevation: number;
}

export interface Weather {
  readonly build: WeatherBuild;
  /** °C */
  temperature: number;
  dewPoint: number;
  /** % */
  humidity: number;
  /** Vapour pressure, Pa. */
  vapour: number;
  /** Pa */
  atmosphere: number;
  windFrom: number;
  windSpeed: number;
  /** Carbon monoxide of the neighbourhood, ppm. */
  backgroundCo: number;
  /** 0 at night, 1 at noon with a clear sky. */
  sun: number;
  /** Slow wanderings, each of unit variance. */
  readonly wander: { temperature: number; dewPoint: number; direction: number; speed: number; barometer: number; co: number; cloud: number };
}

export function createWeather(build: WeatherBuild): Weather {
  const wander = { temperature: 0, dewPoint: 0, direction: 0, speed: 0, barometer: 0, co: 0, cloud: 0 };
  const blank = { temperature: 0, dewPoint: 0, humidity: 0, vapour: 0, atmosphere: 0, windFrom: 0, windSpeed: 0, backgroundCo: 0, sun: 0 };
  const weather: Weather = { build, wander, ...blank };
  settle(weather, 0, { windToIntake: 0, windMS: 0, colderK: 0, damperK: 0 }, build.windFrom);
  return weather;
}

/** A value that wanders about zero with unit variance and forgets itself in `tau` seconds. */
function wanderOn(value: number, dt: number, tau: number, random: Random): number {
  const kept = Math.exp(-dt / tau);
  return value * kept + Math.sqrt(1 - kept * kept) * random.normal();
}

/** Moves the weather on by `dt` s to `sinceStart` s. `plumeWind` is the direction that a turned wind takes, degrees. */
export function stepWeather(weather: Weather, sinceStart: number, effects: SiteEffects, plumeWind: number, random: Random, dt: number): void {
  const { wander } = weather;
  wander.temperature = wanderOn(wander.temperature, dt, 2400, random);
  wander.dewPoint = wanderOn(wander.dewPoint, dt, 5400, random);
  wander.direction = wanderOn(wander.direction, dt, 90, random);
  wander.speed = wanderOn(wander.speed, dt, 40, random);
  wander.barometer = wanderOn(wander.barometer, dt, 20_000, random);
  wander.co = wanderOn(wander.co, dt, 900, random);
  wander.cloud = wanderOn(wander.cloud, dt, 1800, random);
  settle(weather, sinceStart, effects, plumeWind);
}

/** Hour of the day, local, `sinceStart` s after the start. */
export function hourOfDay(weather: Weather, sinceStart: number): number {
  return (weather.build.hourAtStart + sinceStart / 3600) % 24;
}

function settle(weather: Weather, sinceStart: number, effects: SiteEffects, plumeWind: number): void {
  const { build, wander } = weather;
  const hour = hourOfDay(weather, sinceStart);
  // Warmest at three, coldest before dawn.
  const day = Math.cos(((hour - 15) / 24) * 2 * Math.PI);
  weather.sun = Math.max(Math.sin(((hour - 6) / 12) * Math.PI), 0) * (hour < 18 ? 1 : 0) * (0.75 + 0.2 * Math.tanh(wander.cloud));
  weather.temperature = build.mean + build.swing * day + 0.25 * wander.temperature - effects.colderK;
  weather.dewPoint = Math.min(build.dewPoint + 0.35 * wander.dewPoint + effects.damperK, weather.temperature - 0.1);
  weather.humidity = relativeHumidity(weather.temperature, weather.dewPoint);
  weather.vapour = saturationPressure(weather.dewPoint);
  const scaleHeight = 29.27 * (build.mean + ZERO_CELSIUS);
  weather.atmosphere = 101_325 * Math.exp(-build.elevation / scaleHeight) + 150 * wander.barometer;
  // A turned wind is steadier than a gusty one: it is held by what turned it.
  const turned = Math.min(effects.windToIntake, 1);
  weather.windSpeed = Math.max(build.windSpeed * (1 + (1 - 0.8 * turned) * 0.22 * wander.speed) + effects.windMS, 0.3);
  const veer = ((((plumeWind - build.windFrom) % 360) + 540) % 360) - 180;
  weather.windFrom = (build.windFrom + turned * veer + (1 - 0.8 * turned) * 11 * wander.direction + 360) % 360;
  weather.backgroundCo = Math.max(1.4 + 0.25 * wander.co, 0.1);
}

