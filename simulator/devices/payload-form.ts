import { senmlBase } from './compose/compose-senml.ts';
import type { Channel, DeviceBuild, DeviceForm } from './device.ts';

/** The forms that every device of a site can be told to speak. */
export const DEVICE_FORMS: readonly DeviceForm[] = ['json', 'number', 'senml', 'sparkplug', 'loop'];

/** The same device speaking another form; `loop` is JSON with the current of each 4-20 mA transmitter in mA. */
export function inForm(build: DeviceBuild, form: DeviceForm, siteId: string): DeviceBuild {
  if (form === 'json') return build;
  const owner = build.channels[0]?.owner ?? siteId;
  const channels = build.channels.map((channel) => ({ ...channel, pointer: channel.pointer === '' ? `/${channel.point}` : channel.pointer }));
  if (form === 'number') return { ...build, payload: form, topic: `potside/${siteId}/${owner === 'site' ? siteId : owner}` };
  if (form === 'sparkplug') return { ...build, payload: form, topic: `${siteId}/${build.id.replaceAll('/', '-')}`, channels };
  return { ...build, payload: form, topic: build.topic.replace(/^potside\//, ''), channels };
}

/** On or off, or a current. */
export function isLoop({ unit }: Channel): boolean {
  return unit !== '{count}';
}

/** How a person writes a unit in site.yaml. */
const WRITTEN: Readonly<Record<string, string>> = { '[psi]': 'psi', '[ppm]': 'ppm', Cel: 'degC', '%': '%', hPa: 'hPa', deg: 'deg', 'm/s': 'm/s', '[cft_i]/min': 'cfm' };

/** What site.yaml says of one channel; null where the default topic needs no mapping. */
export function sourceOf(device: DeviceBuild, channel: Channel, siteId: string): string | null {
  const every = `every: ${device.everyMs / 1000}s`;
  const { topic } = device;
  const { point, pointer, unit } = channel;
  switch (device.payload) {
    case 'number':
      return null;
    case 'json':
      return `topic: ${topic}, payload: json, value: ${pointer}, time: /ts, unit: ${JSON.stringify(unit)}, ${every}`;
    case 'senml':
      return `topic: ${topic}, payload: senml, name: ${JSON.stringify(`${senmlBase(siteId, device.id)}${point}`)}, ${every}`;
    case 'sparkplug':
      return `topic: ${topic}, payload: sparkplug, metric: ${point}, unit: ${JSON.stringify(unit)}, ${every}`;
    case 'loop': {
      const [low, high] = channel.sensor.range;
      const words = WRITTEN[unit] ?? unit;
      const scaled = isLoop(channel) ? `scale: 4-20mA, range: "${low}${words}..${high}${words}"` : `unit: ${JSON.stringify(unit)}`;
      return `topic: ${topic}, payload: json, value: ${pointer}, time: /ts, ${scaled}, ${every}`;
    }
  }
}
