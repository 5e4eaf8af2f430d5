import { CFM, FREE_AIR_DENSITY, PSI } from '../rig/air.ts';
import { type RigLine, gaugePsi } from '../rig/rig-line.ts';
import type { AirSupply, SitePlant } from '../rig/site-plant.ts';
import type { Weather } from '../rig/weather.ts';
import * as fitted from '../sensors/fitted.ts';
import type { SensorBuild } from '../sensors/sensor.ts';
import type { Channel, DeviceBuild } from './device.ts';

/** Every device on the site, with its sensors wired to the plant. */
export function siteDevices(siteId: string, plant: SitePlant): DeviceBuild[] {
  const { weather } = plant;
  const rigs = plant.supplies.flatMap((supply) => supply.rigs.flatMap((rig) => rigDevices(siteId, rig, weather)));
  return [...rigs, ...plant.supplies.flatMap((supply) => compressorDevices(siteId, supply, weather)), weatherStation(siteId, weather)];
}

function wire(owner: string): (point: string, pointer: string, unit: string, sensor: SensorBuild, truth: () => number) => Channel {
  return (point, pointer, unit, sensor, truth) => ({ point, owner, pointer, unit, sensor, truth });
}

/** A logger at the pot, one at the breathing panel, slow temperatures, and a probe on the steel with a radio of its own. */
function rigDevices(siteId: string, rig: RigLine, weather: Weather): DeviceBuild[] {
  const { id } = rig.build;
  const on = wire(id);
  const at = `${siteId}/${id}`;
  return [
    {
      id: `${id}/line`, topic: `${at}/line`, everyMs: 1000, payload: 'json',
      channels: [
        on('supply-pressure', '/pot/inlet', '[psi]', fitted.linePressure, () => gaugePsi(rig.inlet, weather)),
        on('pot-pressure', '/pot/vessel', '[psi]', fitted.linePressure, () => gaugePsi(rig.vessel, weather)),
        on('nozzle-pressure', '/nozzle', '[psi]', fitted.nozzlePressure, () => gaugePsi(rig.nozzle, weather)),
        on('remote-control', '/handle', '{count}', fitted.contact, () => (rig.blaster.held ? 1 : 0)),
      ],
    },
    {
      id: `${id}/panel`, topic: `${at}/panel`, everyMs: 1000, payload: 'json',
      channels: [
        on('breathing-air-co', '/co', '[ppm]', fitted.carbonMonoxide, () => rig.breathing.co),
        on('breathing-air-pressure', '/air', '[psi]', fitted.breathingPressure, () => rig.breathing.pressure / PSI),
      ],
    },
    {
      id: `${id}/dryness`, topic: `${at}/dryness`, everyMs: 10_000, payload: 'json',
      channels: [
        on('air-line-dew-point', '/dew', 'Cel', fitted.lineDewPoint, () => rig.moisture.dewPoint),
        on('separator-temperature', '/separator', 'Cel', fitted.pocketTemperature, () => rig.moisture.temperature),
        on('breathing-air-temperature', '/hood', 'Cel', fitted.pocketTemperature, () => rig.breathing.temperature),
      ],
    },
    {
      id: `${id}/steel`, topic: `potside/${at}`, everyMs: 10_000, payload: 'number',
      channels: [on('steel-temperature', '', 'Cel', fitted.steelProbe, () => rig.steel)],
    },
  ];
}

function compressorDevices(siteId: string, supply: AirSupply, weather: Weather): DeviceBuild[] {
  const { id } = supply.build;
  const on = wire(id);
  return [
    {
      id: `${id}/outlet`, topic: `${siteId}/${id}/outlet`, everyMs: 1000, payload: 'json',
      channels: [on('compressor-pressure', '/pressure', '[psi]', fitted.linePressure, () => gaugePsi(supply.receiver, weather))],
    },
    {
      id: `${id}/engine`, topic: `${siteId}/${id}/engine`, everyMs: 5000, payload: 'json',
      channels: [
        on('compressor-temperature', '/air-end', 'Cel', fitted.pocketTemperature, () => supply.compressor.airEnd),
        on('air-flow', '/flow', '[cft_i]/min', fitted.flowMeter, () => supply.compressor.flowKgPerS / FREE_AIR_DENSITY / CFM),
      ],
    },
  ];
}

function weatherStation(siteId: string, weather: Weather): DeviceBuild {
  const on = wire('site');
  return {
    id: 'site/weather', topic: `${siteId}/weather`, everyMs: 10_000, payload: 'json',
    channels: [
      on('ambient-temperature', '/air/temperature', 'Cel', fitted.airTemperature, () => weather.temperature),
      on('ambient-humidity', '/air/humidity', '%', fitted.humidity, () => weather.humidity),
      on('barometric-pressure', '/air/pressure', 'hPa', fitted.barometer, () => weather.atmosphere / 100),
      on('wind-direction', '/wind/from', 'deg', fitted.windVane, () => weather.windFrom),
      on('wind-speed', '/wind/speed', 'm/s', fitted.anemometer, () => weather.windSpeed),
    ],
  };
}
